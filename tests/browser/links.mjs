// Every link, picture, script, style sheet and reference inside a drawing leads to something that exists.
// The pages are parsed, not opened: what counts is what stands in the file, with or without scripts.
import { readFileSync, statSync } from 'node:fs';
import { relative, sep } from 'node:path';

export async function checkLinks(browser, site, report) {
  const parser = await browser.newPage();
  const read = new Map();
  const contentsOf = async (page) => {
    if (!read.has(page)) read.set(page, await parser.evaluate(harvest, readFileSync(site.path(page), 'utf8')));
    return read.get(page);
  };
  for (const page of site.pages) {
    const faults = [];
    for (const link of (await contentsOf(page)).links) {
      const fault = await faultOf(link, page, site, contentsOf);
      if (fault) faults.push(`${link.element} ${link.attribute}="${link.value}" ${fault}`);
    }
    report.check(page, 'file', 'broken link', faults);
  }
  await parser.close();
}

/** In the browser: the ids of a page, and all that refers to something. */
function harvest(html) {
  const LINKS = new Set(['href', 'src', 'srcset', 'action', 'poster', 'data', 'xlink:href']);
  const page = new DOMParser().parseFromString(html, 'text/html');
  const ids = [];
  const links = [];
  for (const element of page.querySelectorAll('*')) {
    for (const { name: attribute, value } of element.attributes) {
      const add = (value) => links.push({ element: element.localName, attribute, value: value.trim() });
      if (attribute === 'id' || (attribute === 'name' && element.localName === 'a')) ids.push(value);
      else if (attribute === 'srcset') value.split(',').forEach((one) => add(one.trim().split(/\s/)[0]));
      else if (LINKS.has(attribute)) add(value);
      else for (const [, id] of value.matchAll(/url\(['"]?(#[^'")]+)/g)) add(id);
    }
  }
  return { ids, links };
}

/** Why a link is broken, or null. A reader may be led outside the site; the page itself may not. */
async function faultOf({ element, value }, page, site, contentsOf) {
  if (!URL.canParse(value, site.url(page))) return 'is no address';
  const url = new URL(value, site.url(page));
  if (url.protocol !== 'file:') {
    const allowed = element === 'a' ? ['http:', 'https:', 'mailto:'] : ['data:'];
    return allowed.includes(url.protocol) ? null : 'may not stand here';
  }
  const file = site.fileOf(url);
  if (!file) return 'leads out of the site';
  const stat = statSync(file, { throwIfNoEntry: false });
  if (!stat) return 'leads to no file';
  if (stat.isDirectory()) return 'leads to a folder, of which a browser shows a listing';

  const fragment = decodeURIComponent(url.hash.slice(1));
  if (!file.endsWith('.html') || fragment === '' || fragment === 'top') return null;
  const { ids } = await contentsOf(relative(site.dir, file).split(sep).join('/'));
  return ids.includes(fragment) ? null : 'names an id that is not there';
}

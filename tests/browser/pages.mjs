// What holds of every page, at the width of a phone, of a desk and of a sheet of paper.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { DESK, PHONE, share, Tab } from './browser.mjs';
import { openPaper } from './print.mjs';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

export async function checkPages(browser, site, report, marginMm) {
  const openTabs = async () => ({
    phone: await Tab.open(browser, site, PHONE),
    desk: await Tab.open(browser, site, DESK),
    paper: await openPaper(browser, site, marginMm),
    // axe has a tab of its own, so that what it does is not held against the page.
    axe: await Tab.open(browser, site, PHONE),
  });
  await share(site.pages, openTabs, async (name, { phone, desk, paper, axe }) => {
    await report.attempt(name, '390', 'page', () => checkPage(phone, name, '390', report));
    await report.attempt(name, '1400', 'page', () => checkPage(desk, name, '1400', report));
    await report.attempt(name, 'print', 'page', () => checkDrawings(paper, name, report));
    await report.attempt(name, 'axe', 'page', () => checkAccess(axe, name, report));
  });
}

async function checkPage(tab, name, where, report) {
  await tab.go(name);
  const found = await tab.page.evaluate(() => {
    const folded = look.sideways();
    look.openDetails();
    return {
      sideways: folded.length ? folded : look.sideways(),
      repeatedIds: look.repeatedIds(),
      blocked: look.violations.map(({ text }) => text),
      viewport: document.querySelector('meta[name=viewport]')?.content ?? '',
    };
  });
  report.check(name, where, 'scrolls sideways', found.sideways);
  report.check(name, where, 'repeated id', found.repeatedIds);
  report.check(name, where, 'blocked by policy', found.blocked);
  report.check(name, where, 'viewport', found.viewport.includes('width=device-width') ? [] : ['no meta viewport of width=device-width']);
  report.check(name, where, 'not quiet', [...tab.complaints, ...tab.dialogs]);
  report.check(name, where, 'asks outside the site', tab.leaks);
}

async function checkDrawings(paper, name, report) {
  await paper.go(name);
  report.check(name, 'print', 'drawing off the sheet', await paper.page.evaluate(() => look.drawingsOffSheet()));
}

/** axe needs no exception from the page's policy: it comes in by the debugger, which no policy binds. */
async function checkAccess(tab, name, report) {
  const { page } = tab;
  await page.setViewportSize(PHONE.viewport);
  await tab.go(name);
  await page.evaluate(AXE);
  await page.evaluate(() => look.openDetails());
  report.check(name, '390', 'axe', await axeFaults(page));
  // A colour scheme changes colours and nothing else.
  await page.emulateMedia({ colorScheme: 'dark' });
  report.check(name, '390 dark', 'axe', await axeFaults(page, { runOnly: ['cat.color'] }));
  await page.emulateMedia({ colorScheme: 'light' });
  await page.setViewportSize(DESK.viewport);
  report.check(name, '1400', 'axe', await axeFaults(page));
}

async function axeFaults(page, options = {}) {
  // Without `preload: false` axe fetches the style sheets, which file: forbids.
  const violations = await page.evaluate(async (options) => {
    const { violations } = await axe.run({ preload: false, resultTypes: ['violations'], ...options });
    return violations.map(({ id, help, nodes }) => ({
      id,
      help,
      count: nodes.length,
      first: nodes[0].target.join(' '),
      why: [...nodes[0].any, ...nodes[0].all, ...nodes[0].none][0]?.message ?? '',
    }));
  }, options);
  return violations.map(({ id, help, count, first, why }) => `${id} (${count}×, first ${first}): ${help}. ${why}`);
}

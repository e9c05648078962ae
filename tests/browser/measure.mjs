// The measuring form: typed into on a phone, reloaded, saved, and what was saved put to the linter.
import { execFileSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { PHONE, Tab } from './browser.mjs';

/** `forms`: which pages have a form, what is typed into it, and what the record must say. */
export async function checkForms(browser, site, report, forms, folder) {
  for (const form of forms) {
    const tab = await Tab.open(browser, site, PHONE);
    await report.attempt(form.page, 'form', 'job', () => checkForm(tab, form, report, folder));
    await report.attempt(form.page, 'form', 'slips', () => checkSlips(tab, form, report, folder));
    report.check(form.page, 'form', 'not quiet', [...tab.complaints, ...tab.leaks]);
    await tab.close();
  }
}

async function checkForm(tab, { page: name, type, record, book, jobs, program }, report, folder) {
  const { page } = tab;
  await tab.go(name);
  await page.getByRole('button', { name: 'Save' }).click();
  report.check(name, 'form', 'saved without a date', await page.locator('.faults li').count() ? [] : ['nothing is said']);
  for (const [field, ...texts] of type) await typeInto(page, field, texts);
  report.check(name, 'form', 'scrolls sideways', await page.evaluate(() => look.sideways()));

  const typed = await contents(page);
  await page.reload();
  const kept = await contents(page);
  report.check(name, 'form', 'forgets', typed.flatMap((value, i) => (value === kept[i] ? [] : `${value} is now ${kept[i]}`)));

  const copy = mkdtempSync(join(tmpdir(), 'form-'));
  try {
    cpSync(resolve(folder, book), copy, { recursive: true });
    const saving = page.waitForEvent('download', { timeout: 5000 });
    await page.getByRole('button', { name: 'Save' }).click();
    const saved = await saving;
    const path = join(copy, jobs, saved.suggestedFilename());
    await saved.saveAs(path);
    const missing = record.filter((line) => !readFileSync(path, 'utf8').includes(line));
    report.check(name, 'form', 'record', missing.map((line) => `${line} is not in ${readFileSync(path, 'utf8')}`));
    report.check(name, 'form', 'lint', lint(resolve(folder, program), path));
  } finally {
    rmSync(copy, { recursive: true });
  }
}

async function typeInto(page, field, texts) {
  const places = page.locator(`[name="${field}"]`);
  for (const [turn, text] of texts.entries()) {
    const place = places.nth(turn);
    if (await place.evaluate(({ localName }) => localName === 'select')) await place.selectOption(text);
    else if (await place.getAttribute('type') === 'date') await place.fill(text);
    else await place.pressSequentially(text);
  }
}

const contents = (page) => page.evaluate(() => [...document.getElementById('job').elements].map(({ value }) => value));

/** What the linter says of a record. */
function lint(program, path) {
  try {
    return execFileSync(program, ['lint', path, '--as', 'json'], { encoding: 'utf8', stdio: 'pipe' }).split('\n').filter(Boolean);
  } catch (error) {
    return [`${error.stdout ?? ''}${error.stderr ?? ''}` || error.message];
  }
}

/** Puts to the form what the program is held to: readings, and whether each is odd. */
async function checkSlips(tab, { page: name, slips }, report, folder) {
  const { page } = tab;
  await tab.go(name);
  const limits = JSON.parse(await page.locator('#job').getAttribute('data-limits'));
  const group = page.locator('fieldset').first();
  const [edge, imprint] = ['edge', 'imprint'].map((at) => group.locator(`[name^="reading"][data-at=${at}]`).first());
  const faults = [];
  for (const one of JSON.parse(readFileSync(resolve(folder, slips), 'utf8'))) {
    const { edge_mm: edges, imprint_mm: read, odd, ...expected } = one;
    await group.evaluate((element, text) => { element.dataset.expected = text; }, JSON.stringify(expected));
    // The page keeps what was typed before the reload.
    for (const field of await group.locator('input:visible').all()) await field.fill('');
    await edge.fill(edges.join(' '));
    if (read !== undefined) await imprint.fill(String(read));
    const said = await group.locator('.odd').innerText();
    if (!isTold(said, odd, limits)) faults.push(`${JSON.stringify(one)} is told as: ${said}`);
  }
  report.check(name, 'form', 'slips', faults);
}

/** A value that is refused for its range is told too, as what it cannot be. */
function isTold(said, odd, { slips, told }) {
  if (odd === null) return said === '';
  const wanted = { 'over-edge': told.over_edge, 'as-edge': told.as_edge, unstocked: told.unstocked }[odd] ?? slips.find(({ factor }) => factor === odd).what;
  const words = wanted.replace(/^.*?\{\w+\}/, '').split(/\{\w+\}/)[0];
  return said.includes(words) || said.includes('is not between');
}

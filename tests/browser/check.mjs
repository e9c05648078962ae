// Checks a compiled site in headless Chromium, from its files. See README.md.
import { readFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { parseArgs } from 'node:util';
import { launch } from './browser.mjs';
import { checkHeat } from './heat.mjs';
import { checkHostile } from './hostile.mjs';
import { checkLinks } from './links.mjs';
import { checkForms } from './measure.mjs';
import { checkPages } from './pages.mjs';
import { checkPrint } from './print.mjs';
import { Report } from './report.mjs';
import { checkSearch, checkWithoutScripts } from './search.mjs';
import { Site } from './site.mjs';
import { checkTicks } from './ticks.mjs';
import { checkValidity } from './validity.mjs';

const { values: options, positionals } = parseArgs({
  allowPositionals: true,
  options: { filter: { type: 'string' }, expect: { type: 'string' }, hostile: { type: 'boolean' } },
});
if (positionals.length !== 1) {
  console.error('usage: node check.mjs SITE_DIR [--filter SUBSTRING] [--expect FILE.json] [--hostile]');
  process.exit(2);
}
const site = new Site(positionals[0], options.filter);
if (site.pages.length === 0) {
  console.error('there is no page to check');
  process.exit(2);
}
const report = new Report();
const browser = await launch();
try {
  await (options.hostile ? checkHostile(browser, site, report) : checkAll());
} finally {
  await browser.close();
}
console.log(report.summary());
process.exitCode = report.failed ? 1 : 0;

async function checkAll() {
  const expected = options.expect ? JSON.parse(readFileSync(options.expect, 'utf8')) : {};
  const { search = [], pads = [], pdf = [], forms = [], margin_mm: marginMm = 10 } = expected;
  const selected = ({ page }) => page.includes(options.filter ?? '');

  const validity = checkValidity(site, report); // Java works beside the browser
  await checkPages(browser, site, report, marginMm);
  await checkLinks(browser, site, report);
  if (site.pages.includes('index.html')) await checkSearch(browser, site, report, search);
  await checkHeat(browser, site, report);
  await checkWithoutScripts(browser, site, report, pads.filter(selected));
  await checkForms(browser, site, report, forms.filter(selected), dirname(options.expect ?? '.'));
  await checkTicks(browser, site, report);
  await checkPrint(browser, site, report, pdf.filter(selected));
  await validity;
}

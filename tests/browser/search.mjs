// The index: its search finds what it should, and without scripts it still lists every board.
import { PHONE, Tab } from './browser.mjs';

const PATIENCE_MS = 5000;

/** In the browser: the names in the addresses of all visible links, `boards/tern/index.html` giving
 *  `boards` and `tern`, and the boards among them. */
function shown() {
  const paths = [...document.querySelectorAll('a[href]')]
    .filter((link) => link.checkVisibility({ visibilityProperty: true }) && link.getClientRects().length > 0)
    .map((link) => link.getAttribute('href').replace(/[?#].*/, '').replace(/\.html$/, '').split('/'));
  return {
    names: paths.flat(),
    boards: [...new Set(paths.flatMap((path) => (path.includes('boards') ? path[path.lastIndexOf('boards') + 1] ?? [] : [])))],
  };
}

export async function checkSearch(browser, site, report, searches) {
  const tab = await Tab.open(browser, site, PHONE);
  for (const search of searches) {
    await report.attempt('index.html', 'search', search.type, async () => {
      await tab.go('index.html');
      await tab.page.locator('input[type=search]').pressSequentially(search.type);
      report.check('index.html', 'search', search.type, await settle(tab.page, site, search));
      report.check('index.html', 'search', 'not quiet', [...tab.complaints, ...tab.leaks]);
    });
  }
  await tab.close();
}

/** Waits for the right answer; returns what was wrong with the last one. */
async function settle(page, site, search) {
  const deadline = Date.now() + PATIENCE_MS;
  for (;;) {
    const faults = faultsOf(await page.evaluate(shown), site, search);
    if (faults.length === 0 || Date.now() > deadline) return faults;
    await page.waitForTimeout(50);
  }
}

function faultsOf({ names, boards }, site, { finds, only }) {
  const missing = finds.filter((id) => !names.includes(id));
  const extra = only ? boards.filter((id) => !finds.includes(id)) : [];
  // Before anything is typed every board is listed; that alone is no answer.
  const untouched = !only && finds.length < site.boards().length && boards.length === site.boards().length;
  return [
    ...missing.map((id) => `${id} is not found`),
    ...extra.map((id) => `${id} is found too`),
    ...(untouched ? ['every board is still listed'] : []),
  ];
}

/** `pads`: on which pages a table must show which words. */
export async function checkWithoutScripts(browser, site, report, pads) {
  const tab = await Tab.open(browser, site, { ...PHONE, javaScriptEnabled: false });
  if (site.pages.includes('index.html')) {
    await report.attempt('index.html', 'no scripts', 'boards', async () => {
      await tab.go('index.html');
      const { names } = await tab.page.evaluate(shown);
      const missing = site.boards().filter((id) => !names.includes(id));
      report.check('index.html', 'no scripts', 'boards', missing.map((id) => `${id} is not linked`));
    });
  }
  for (const { page, text } of pads) {
    await report.attempt(page, 'no scripts', 'pads', async () => {
      await tab.go(page);
      const tables = await tab.page.locator('table:visible').allInnerTexts();
      const told = tables.some((table) => text.every((word) => table.toLowerCase().includes(word.toLowerCase())));
      report.check(page, 'no scripts', 'pads', told ? [] : [`none of ${tables.length} visible tables has all of: ${text.join(', ')}`]);
    });
  }
  await tab.close();
}

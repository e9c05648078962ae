// Boxes to tick: kept over a reload, and cleared by their button.
import { PHONE, Tab } from './browser.mjs';

/** Ticks boxes on the first sheet that has any; `report` says whether they are kept. */
export async function checkTicks(browser, site, report) {
  const name = site.pages.find((page) => page.endsWith('/open.html'));
  if (!name) return;
  const tab = await Tab.open(browser, site, PHONE);
  await report.attempt(name, 'ticks', 'kept', async () => {
    const { page } = tab;
    const boxes = page.locator('input[data-tick]');
    const ticked = () => boxes.evaluateAll((all) => all.filter((box) => box.checked).length);
    await tab.go(name);
    for (const index of [0, 2]) await boxes.nth(index).check();
    await page.reload();
    report.check(name, 'ticks', 'forgets', (await ticked()) === 2 ? [] : [`${await ticked()} of 2 are ticked`]);
    await page.getByRole('button', { name: 'Clear' }).click();
    await page.reload();
    report.check(name, 'ticks', 'not cleared', (await ticked()) === 0 ? [] : [`${await ticked()} are ticked`]);
  });
  report.check(name, 'ticks', 'not quiet', [...tab.complaints, ...tab.leaks]);
  await tab.close();
}

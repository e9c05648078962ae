// What comes out of a printer on A4.
import { PDFDocument } from 'pdf-lib';
import { DESK, Tab } from './browser.mjs';

const A4_MM = [210, 297];
const PX_PER_MM = 96 / 25.4;
const PT_PER_MM = 72 / 25.4;

/** A tab as wide as the printed area of an upright sheet, that shows pages as they are printed. */
export async function openPaper(browser, site, marginMm) {
  const [width, height] = [A4_MM[0] - 2 * marginMm, A4_MM[1] - 2 * marginMm].map((mm) => Math.floor(mm * PX_PER_MM));
  const tab = await Tab.open(browser, site, { viewport: { width, height } });
  await tab.page.emulateMedia({ media: 'print' });
  return tab;
}

/** `prints`: which pages must fill how many sheets. */
export async function checkPrint(browser, site, report, prints) {
  const tab = await Tab.open(browser, site, DESK);
  for (const { page: name, pages } of prints) {
    await report.attempt(name, 'print', 'sheets', async () => {
      await tab.go(name);
      const pdf = await PDFDocument.load(await tab.page.pdf({ format: 'A4', preferCSSPageSize: true }));
      const odd = pdf.getPages().findIndex((sheet) => !isA4(sheet.getSize()));
      report.check(name, 'print', 'sheets', [
        ...(pdf.getPageCount() === pages ? [] : [`${pdf.getPageCount()} sheets instead of ${pages}`]),
        ...(odd < 0 ? [] : [`sheet ${odd + 1} is not A4`]),
      ]);
    });
  }
  await tab.close();
}

function isA4({ width, height }) {
  const sides = [width, height].sort((a, b) => a - b);
  return sides.every((side, i) => Math.abs(side / PT_PER_MM - A4_MM[i]) < 1);
}

// The forms of Decide and Prove: they answer as the program does. `verdicts.json` holds its answers, kept
// by tests/page_verdicts.rs.
import { readFileSync } from 'node:fs';
import { PHONE, Tab } from './browser.mjs';

/** In the browser: fills a form in and returns its answer. */
function answer(typed) {
  const form = document.querySelector('form.readings');
  form.reset();
  for (const [when, fields] of Object.entries(typed)) {
    for (const [name, value] of Object.entries(fields)) {
      form.querySelector(`[data-when="${when}"] [name="${name}"]`).value = value;
    }
  }
  form.dispatchEvent(new Event('input'));
  return form.querySelector('.verdict .word').textContent;
}

export async function checkHeat(browser, site, report) {
  const cases = JSON.parse(readFileSync(new URL('verdicts.json', import.meta.url), 'utf8'));
  const tab = await Tab.open(browser, site, PHONE);
  for (const page of new Set(cases.map((one) => one.page))) {
    if (!site.pages.includes(page)) continue;
    await report.attempt(page, 'verdicts', 'form', async () => {
      await tab.go(page);
      const faults = [];
      for (const one of cases.filter((other) => other.page === page)) {
        const found = await tab.page.evaluate(answer, one.type);
        if (found !== one.answer) faults.push(`${JSON.stringify(one.type)}: “${found}”, not “${one.answer}”`);
      }
      report.check(page, 'verdicts', 'as the program', faults);
      report.check(page, 'verdicts', 'not quiet', [...tab.complaints, ...tab.leaks]);
    });
  }
  await tab.close();
}

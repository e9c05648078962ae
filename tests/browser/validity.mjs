// HTML as the standard has it, by the Nu HTML Checker, over all pages in one start of Java.
// Style sheets are not put to it: it knows neither container queries nor the SVG properties of CSS.
import { spawn } from 'node:child_process';
import { createRequire } from 'node:module';
import { relative } from 'node:path';
import { text } from 'node:stream/consumers';
import { fileURLToPath } from 'node:url';

const JAR = createRequire(import.meta.url).resolve('vnu-jar/build/dist/vnu.jar');

export async function checkValidity(site, report) {
  const paths = site.pages.map((page) => site.path(page));
  const checker = spawn('java', ['-Xss4m', '-jar', JAR, '--errors-only', '--format', 'json', ...paths], { stdio: ['ignore', 'ignore', 'pipe'] });
  const { messages } = JSON.parse(await text(checker.stderr));

  const faults = new Map(site.pages.map((page) => [page, []]));
  for (const { url, lastLine, message, extract = '' } of messages) {
    faults.get(relative(site.dir, fileURLToPath(url))).push(`line ${lastLine}: ${message} ${extract}`);
  }
  for (const [page, list] of faults) report.check(page, 'file', 'invalid HTML', list);
}

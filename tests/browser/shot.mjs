// Takes a picture of one page, for a developer to look at. See README.md.
import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { pathToFileURL } from 'node:url';
import { DESK, launch, PHONE } from './browser.mjs';

const A4_PX = { width: 794, height: 1123 };

const { values: options, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    width: { type: 'string' },
    dark: { type: 'boolean' },
    print: { type: 'boolean' },
    full: { type: 'boolean' },
    selector: { type: 'string' },
  },
});
if (positionals.length !== 2) {
  console.error('usage: node shot.mjs PAGE.html[#ID] OUT.png [--width 390] [--dark] [--print] [--full] [--selector CSS]');
  process.exit(2);
}
const [address, out] = positionals;
const [file, fragment] = address.split('#');
const width = Number(options.width ?? (options.print ? A4_PX.width : DESK.viewport.width));
const device = width <= PHONE.viewport.width ? PHONE : options.print ? { viewport: A4_PX } : DESK;

const browser = await launch();
try {
  const page = await browser.newPage({
    ...device,
    viewport: { ...device.viewport, width },
    colorScheme: options.dark ? 'dark' : 'light',
  });
  if (options.print) await page.emulateMedia({ media: 'print' });
  await page.goto(pathToFileURL(resolve(file)).href + (fragment ? `#${fragment}` : ''));
  if (options.selector) await page.locator(options.selector).first().screenshot({ path: out });
  else await page.screenshot({ path: out, fullPage: options.full });
} finally {
  await browser.close();
}

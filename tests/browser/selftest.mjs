// Puts good and bad sites to check.mjs: it must pass the good ones and name each fault of the others.
import { execFile } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const CHECK = fileURLToPath(new URL('check.mjs', import.meta.url));
const POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:";

function page(title, root, body, { policy = POLICY, head = '' } = {}) {
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<link rel="stylesheet" href="${root}style.css">
${head}
</head>
<body>
<main>
<h1>${title}</h1>
${body}
</main>
</body>
</html>
`;
}

const STYLE = `
  :root { color-scheme: light dark; color: light-dark(#111, #eee); background: light-dark(#fff, #111); }
  a { color: light-dark(#003a8c, #9cf); }
  svg { max-width: 100%; }
  [hidden] { display: none; }
  @page { size: A4; margin: 10mm; }
`;
const SEARCH = `
  document.querySelector('input').addEventListener('input', ({ target }) => {
    for (const item of document.querySelectorAll('li')) {
      item.hidden = !item.textContent.toLowerCase().includes(target.value.toLowerCase());
    }
  });
`;
const INDEX = `
<p><label>Search <input type="search"></label></p>
<ul>
<li><a href="boards/tern/index.html#pads">Tern</a> TRN240</li>
<li><a href="boards/gull/index.html">Gull</a> GLL100</li>
</ul>
`;
const INDEX_HEAD = { head: '<script src="search.js" defer></script>' };
const BOARD = `
<svg viewBox="0 0 242 111" width="600" role="img" aria-label="Map">
<defs><pattern id="hatch" width="4" height="4" patternUnits="userSpaceOnUse"><path d="M0 0L4 4" stroke="black"/></pattern></defs>
<rect width="242" height="111" fill="url(#hatch)"/>
</svg>
<table id="pads"><caption>Pads</caption><tr><th scope="col">Zone</th><th scope="col">Pad</th></tr>
<tr><td>Memory</td><td>2.0 mm soft</td></tr></table>
<p><a href="../../index.html">All boards</a>, <a href="https://example.org/">a source</a></p>
`;
const BOARD_PAGE = 'boards/tern/index.html';

const GOOD = {
  'index.html': page('Boards', '', INDEX, INDEX_HEAD),
  [BOARD_PAGE]: page('Tern', '../../', BOARD),
  'boards/gull/index.html': page('Gull', '../../', BOARD),
  'style.css': STYLE,
  'search.js': SEARCH,
};
const EXPECTED = {
  search: [
    { type: 'TRN240', finds: ['tern'], only: true },
    { type: 'gull', finds: ['gull'] },
    { type: 'no such board', finds: [], only: true },
  ],
  pads: [{ page: BOARD_PAGE, text: ['2.0', 'Soft'] }],
  pdf: [{ page: BOARD_PAGE, pages: 1 }],
};

// Bad pages, one fault each: what its body, style sheet, script or policy is, and what must be printed of it.
const PIXEL = 'data:image/gif;base64,R0lGODlhAQABAAAAACwAAAAAAQABAAA=';
const OUTSIDE = '<p><img src="https://example.org/a.png" alt="A"></p>';
const WRITES_MARKUP = "document.querySelector('input').addEventListener('input', ({ target }) => { document.querySelector('output').innerHTML = target.value })";
/** A policy that stops nothing, so that the check itself has to. */
const LAX = "default-src * 'unsafe-inline'";

const BAD = {
  'sideways-on-the-phone': { body: '<p class="wide">x</p>', style: '.wide { width: 600px }', told: /\[390\] scrolls sideways: .*p\.wide reaches/ },
  'sideways-once-unfolded': { body: '<details><summary>More</summary><p class="wide">x</p></details>', style: '.wide { width: 2000px }', told: /\[1400\] scrolls sideways: .*p\.wide reaches/ },
  'no-viewport': { without: /<meta name="viewport".*/, told: /\[390\] viewport: no meta viewport/ },
  'repeated-id': { body: '<p id="one">x</p><p id="one">x</p>', told: /\[390\] repeated id: "one" again/ },
  'inline-script': { body: '<script>window.ran = 1</script>', told: /\[390\] blocked by policy: script-src-elem blocked inline at .*script/ },
  'inline-style': { body: '<p style="color: red">x</p>', told: /\[1400\] not quiet: console error: Applying inline style/ },
  'script-that-throws': { script: 'nowhere.to.be.found()', told: /\[1400\] not quiet: .*ReferenceError/ },
  'script-that-warns': { script: 'console.warn("old")', told: /\[390\] not quiet: console warning: old/ },
  'request': { body: OUTSIDE, policy: LAX, told: /\[390\] asks outside the site: image https:/ },
  'request-blocked': { body: OUTSIDE, told: /\[390\] asks outside the site: image https:/ },
  'request-for-a-file': { body: '<p><img src="../../a.png" alt="A"></p>', policy: LAX, told: /\[390\] asks outside the site: image file:/ },
  'no-alternative-text': { body: `<p><img src="${PIXEL}"></p>`, told: /\[390\] axe: image-alt/ },
  'contrast-in-the-dark': { body: '<p class="faint">faint words</p>', style: '.faint { color: #333 }', told: /\[390 dark\] axe: color-contrast/ },
  'contrast-on-the-desk': { body: '<p class="faint">faint words</p>', style: '@media (min-width: 1000px) { .faint { color: #ddd } }', told: /\[1400\] axe: color-contrast/ },
  'broken-fragment': { body: '<p><a href="../index.html#nowhere">x</a></p>', told: /broken link: a href="\.\.\/index\.html#nowhere" names an id/ },
  'broken-link': { body: '<p><a href="nowhere.html">x</a></p>', told: /broken link: a href="nowhere\.html" leads to no file/ },
  'link-to-a-folder': { body: '<p><a href="../">x</a></p>', told: /broken link: a href="\.\.\/" leads to a folder/ },
  'link-out-of-the-site': { body: '<p><a href="../../site.html">x</a></p>', told: /broken link: .* leads out of the site/ },
  'link-that-is-a-script': { body: '<p><a href="javascript:alert(1)">x</a></p>', told: /broken link: a href="javascript:alert\(1\)" may not stand here/ },
  'missing-hatch': { body: '<svg width="9" height="9" role="img" aria-label="Hatch"><path d="M0 0H9V9Z" fill="url(#hatch)"/></svg>', told: /broken link: path fill="#hatch" names an id/ },
  'invalid': { body: '<p><span><div>x</div></span></p>', told: /invalid HTML: line \d+: .*div/ },
  'drawing-off-the-sheet': { body: '<svg class="bar" width="900" height="9" role="img" aria-label="Bar"></svg>', style: '@media print { .bar { max-width: none } }', told: /\[print\] drawing off the sheet: .*svg\.bar spans \d+ to 9\d\d of 718 px/ },
  'pads-that-are-not-told': { body: '<table><caption>Pads</caption><tr><td>2.0</td></tr></table>', told: /\[no scripts\] pads: none of 1 visible tables/ },
  'too-many-sheets': { body: '<p class="next">x</p>', style: '.next { break-before: page }', told: /\[print\] sheets: 2 sheets instead of 1/ },
  'margins-that-leave-no-room': { body: '<p>x</p><p>x</p><p>x</p>', style: '@page { margin: 135mm 10mm }', told: /\[print\] sheets: [2-9] sheets instead of 1/ },
  'sheet-that-is-not-a4': { style: '@page { size: letter }', told: /\[print\] sheets: sheet 1 is not A4/ },
};

// The same for the run that only asks whether anything foreign can run.
const HOSTILE = {
  'script-that-runs': { body: '<script>window.__pwned = 1</script>', policy: LAX, told: /foreign code: script of file:[^]*foreign code: window\.__pwned/ },
  'script-that-is-blocked': { body: '<script>window.__pwned = 1</script>', told: /blocked by policy: script-src-elem/ },
  'dialog': { body: '<img src="x" alt="x" onerror="alert(1)">', policy: LAX, told: /dialog: alert: 1/ },
  'handler-that-waits': { body: '<p onclick="alert(1)">x</p>', policy: LAX, told: /markup that could run: .*onclick="alert\(1\)"/ },
  'link-that-is-a-script': { body: '<p><a href=" javascript:alert(1)">x</a></p>', told: /markup that could run: .*javascript:alert/ },
  'frame': { body: '<iframe srcdoc="x"></iframe>', told: /markup that could run: .*iframe/ },
  'request': { body: OUTSIDE, told: /asks outside the site: image https/ },
  'search-that-writes-markup': { body: '<input type="search"><output></output>', script: WRITES_MARKUP, told: /blocked by policy: script-src-attr blocked inline/ },
  'address-that-writes-markup': { script: "document.querySelector('h1').innerHTML = decodeURIComponent(location.hash)", told: /blocked by policy: script-src-attr blocked inline/ },
};

function badSite(faults) {
  const files = { ...GOOD };
  for (const [name, { body = '', style = '', script = '', policy, without = '' }] of Object.entries(faults)) {
    const head = `<link rel="stylesheet" href="${name}.css"><script src="${name}.js" defer></script>`;
    files[`bad/${name}.html`] = page(name, '../', body, { policy, head }).replace(without, '');
    files[`bad/${name}.css`] = style;
    files[`bad/${name}.js`] = script;
  }
  return files;
}

const printedOnce = (name) => ({ page: `bad/${name}.html`, pages: 1 });
const badly = (faults) => Object.entries(faults).map(([name, { told }]) => [`bad/${name}.html`, told]);

// Each run: a site, what is expected of it, arguments, and which faults must be printed of which page.
const RUNS = [
  { name: 'good', files: GOOD, expected: EXPECTED },
  { name: 'good, hostile', files: GOOD, args: ['--hostile'] },
  { name: 'good part of a bad site', files: badSite(BAD), expected: EXPECTED, args: ['--filter', 'boards/'] },
  {
    name: 'bad',
    files: badSite(BAD),
    expected: {
      search: [
        { type: 'heron', finds: ['tern'] },
        { type: '100', finds: [], only: true },
      ],
      pads: [{ page: 'bad/pads-that-are-not-told.html', text: ['2.0', 'soft'] }],
      pdf: ['too-many-sheets', 'margins-that-leave-no-room', 'sheet-that-is-not-a4'].map(printedOnce),
    },
    faults: [
      ...badly(BAD),
      ['index.html', /\[search\] heron: tern is not found/],
      ['index.html', /\[search\] 100: gull is found too/],
    ],
  },
  { name: 'bad, hostile', files: badSite(HOSTILE), args: ['--hostile'], faults: badly(HOSTILE) },
  {
    name: 'index that needs scripts and finds nothing',
    files: {
      ...GOOD,
      'index.html': page('Boards', '', INDEX.replace('<ul>', '<ul hidden>'), INDEX_HEAD),
      'search.js': "document.querySelector('ul').hidden = false",
    },
    expected: { search: [{ type: 'tern', finds: ['tern'] }] },
    faults: [
      ['index.html', /\[no scripts\] boards: tern is not linked/],
      ['index.html', /\[search\] tern: every board is still listed/],
    ],
  },
];

function build(folder, files, expected) {
  const write = (name, text) => {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), text);
  };
  for (const [name, text] of Object.entries(files)) write(join('site', name), text);
  write('expect.json', JSON.stringify(expected));
}

/** Runs check.mjs over one site; returns what it should have said and did not. */
function complaints({ files, expected = {}, args = [], faults = [] }) {
  const folder = mkdtempSync(join(tmpdir(), 'site-check-'));
  build(folder, files, expected);
  const command = [CHECK, join(folder, 'site'), '--expect', join(folder, 'expect.json'), ...args];
  return new Promise((resolve) => {
    execFile(process.execPath, command, (error, printed, errors) => {
      rmSync(folder, { recursive: true });
      const lines = printed.trimEnd().split('\n');
      const said = (page) => lines.filter((line) => line.startsWith(`FAIL ${page} `)).join('\n');
      const missing = faults.filter(([page, told]) => !told.test(said(page)));
      const silent = missing.map(([page, told]) => `${page}: expected ${told}, was told:\n${said(page)}`);
      const [status, summary] = faults.length ? [1, /^\d+ passed, [1-9]\d* failed$/] : [0, /^[1-9]\d* passed, 0 failed$/];
      const ended = (error?.code ?? 0) === status && summary.test(lines.at(-1));
      resolve(ended ? silent : [...silent, `ended with ${error?.code ?? 0}:\n${printed}${errors}`]);
    });
  });
}

let passed = 0;
let failed = 0;
for (const run of RUNS) {
  const wrong = await complaints(run);
  for (const complaint of wrong) console.log(`FAIL ${run.name}: ${complaint}`);
  failed += wrong.length;
  passed += (run.faults?.length ?? 0) + 1 - wrong.length; // the faults, and how the run ended
}
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed ? 1 : 0;

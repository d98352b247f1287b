// Opens the pages of a published site in Chromium: nothing in the console, no request off the page, no violation that axe-core finds, in light and in dark;
// takes screenshots: light, dark, a phone, and how it prints.
//   site.mjs DIR SHOTS
import { createRequire } from 'node:module';
import { readdirSync, readFileSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';

const require = createRequire(process.env.NODE_PATH + '/');
const { chromium } = require('playwright-core');
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

const [dir, shots] = process.argv.slice(2).map((p) => resolve(p));
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox'] });
let failures = 0;
const fail = (text) => { failures++; console.log('FAIL ' + text); };

async function open(file, options) {
  const context = await browser.newContext({ bypassCSP: true, ...options }); // axe is a script, which the policy of the page forbids
  const page = await context.newPage();
  page.on('console', (m) => fail(`${file}: console: ${m.text()}`));
  page.on('pageerror', (e) => fail(`${file}: ${e}`));
  page.on('request', (r) => { if (!/^(file|data):/.test(r.url())) fail(`${file}: asks for ${r.url()}`); });
  await page.goto('file://' + join(dir, file));
  return page;
}

async function audit(page, file, scheme) {
  await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
  await page.evaluate(axe);
  const result = await page.evaluate(() => globalThis.axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }));
  for (const v of result.violations) fail(`${file} (${scheme}): ${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.target.join(' ')).join(' | ')}`);
  console.log(`${file} (${scheme}): ${result.passes.length} rules pass, ${result.violations.length} are violated`);
}

for (const file of readdirSync(dir).filter((f) => f.endsWith('.html'))) {
  const name = join(shots, 'site-' + basename(file, '.html'));
  for (const scheme of ['light', 'dark']) {
    const page = await open(file, { colorScheme: scheme });
    await page.screenshot({ path: `${name}-${scheme}.png` });
    await audit(page, file, scheme);
    await page.context().close();
  }
  const phone = await open(file, { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2 });
  const wide = await phone.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  if (wide > 0) fail(`${file}: on a phone it is ${wide} pixels too wide`);
  await phone.screenshot({ path: `${name}-phone.png` });
  await phone.context().close();
  const print = await open(file, {});
  await print.pdf({ path: `${name}.pdf`, preferCSSPageSize: true });
  await print.context().close();
}
await browser.close();
process.exit(failures > 0 ? 1 : 0);

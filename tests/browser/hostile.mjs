// A book written by an attacker: whatever its records say, nothing of it may run.
import { DESK, share, Tab } from './browser.mjs';

// An attacker also chooses the address that leads to a page.
const ADDRESS = `?q=${encodeURIComponent('<img src=x onerror="window.__pwned=1">')}#${encodeURIComponent('<img src=x onerror="window.__pwned=1">')}`;
// What makes a search list hostile records, and what is hostile itself.
const SEARCHES = ['a', 'e', 'script', 'onerror', '<', '"><img src=x onerror="window.__pwned=1">'];
const SEARCH_SETTLES_MS = 250;

/** A tab that also notes every script the engine compiles that is no file of the site. */
class WatchedTab extends Tab {
  static async open(browser, site) {
    const tab = await super.open(browser, site, DESK);
    const session = await tab.page.context().newCDPSession(tab.page);
    session.on('Debugger.scriptParsed', ({ url, startLine }) => {
      // Inline code bears the address of its page; the harness's own code has none.
      if (url && !site.fileOf(url)?.endsWith('.js')) tab.foreign.push(`script of ${url} line ${startLine + 1}`);
    });
    await session.send('Debugger.enable');
    await session.send('Debugger.setSkipAllPauses', { skip: true });
    return tab;
  }

  forget() {
    super.forget();
    this.foreign = [];
  }
}

export async function checkHostile(browser, site, report) {
  const openTabs = async () => ({ tab: await WatchedTab.open(browser, site) });
  await share(site.pages, openTabs, (name, { tab }) =>
    report.attempt(name, 'hostile', 'page', async () => {
      await tab.go(name, ADDRESS);
      await tryEverything(tab.page);
      const { violations, pwned, markup } = await tab.page.evaluate(() => ({
        violations: look.violations.filter(({ directive }) => directive.startsWith('script-src')).map(({ text }) => text),
        pwned: '__pwned' in window,
        markup: look.activeMarkup(),
      }));
      report.check(name, 'hostile', 'dialog', tab.dialogs);
      report.check(name, 'hostile', 'foreign code', [...tab.foreign, ...(pwned ? ['window.__pwned is set'] : [])]);
      report.check(name, 'hostile', 'blocked by policy', violations);
      report.check(name, 'hostile', 'markup that could run', markup);
      report.check(name, 'hostile', 'asks outside the site', tab.leaks);
    }));
}

async function tryEverything(page) {
  await page.evaluate(() => look.openDetails());
  const search = page.locator('input[type=search]');
  if (await search.count() === 0) return;
  for (const words of SEARCHES) {
    await search.first().fill(words);
    await page.waitForTimeout(SEARCH_SETTLES_MS);
  }
}

// The browser, its tabs, and what a page says and asks for while it is open.
import { readFileSync } from 'node:fs';
import { chromium } from 'playwright-core';

// As text, not by path: a script without an address is told from those of the site.
const IN_PAGE = readFileSync(new URL('in-page.js', import.meta.url), 'utf8');

export const PHONE = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, hasTouch: true };
export const DESK = { viewport: { width: 1400, height: 900 } };

export function launch() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
    // No name resolves: a page that reaches out is reported, and reaches nothing.
    args: ['--disable-gpu', '--disable-quic', '--disable-sync', '--host-resolver-rules=MAP * ~NOTFOUND'],
  });
}

/** One page of a browser window of its own, with what was seen since `go` last opened something in it. */
export class Tab {
  static async open(browser, site, settings) {
    const context = await browser.newContext({ reducedMotion: 'reduce', ...settings });
    await context.addInitScript({ content: IN_PAGE });
    return new this(await context.newPage(), site);
  }

  constructor(page, site) {
    this.page = page;
    this.site = site;
    this.forget();
    page.on('console', (message) => {
      if (['error', 'warning'].includes(message.type())) {
        this.complaints.push(`console ${message.type()}: ${message.text()} (${message.location().url})`);
      }
    });
    page.on('pageerror', (error) => this.complaints.push(error.stack ?? String(error)));
    page.on('request', (request) => {
      if (!site.fileOf(request.url())) this.leaks.push(`${request.resourceType()} ${request.url()}`);
    });
    page.on('websocket', (socket) => this.leaks.push(`websocket ${socket.url()}`));
    page.on('dialog', (dialog) => {
      this.dialogs.push(`${dialog.type()}: ${dialog.message()}`);
      return dialog.dismiss();
    });
  }

  forget() {
    this.complaints = [];
    this.leaks = [];
    this.dialogs = [];
  }

  async go(name, suffix = '') {
    this.forget();
    await this.page.goto(this.site.url(name) + suffix);
  }

  close() {
    return this.page.context().close();
  }
}

/** Shares the items out between two workers, each with tabs of its own. */
export async function share(items, openTabs, work) {
  const queue = items.values();
  await Promise.all([1, 2].map(async () => {
    const tabs = await openTabs();
    for (const item of queue) await work(item, tabs);
    await Promise.all(Object.values(tabs).map((tab) => tab.close()));
  }));
}

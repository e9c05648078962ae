// The site as files: which pages it has, and whether an address stays inside it.
import { readdirSync, realpathSync } from 'node:fs';
import { join, sep } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

export class Site {
  /** `filter` narrows `pages`, what is checked; `allPages` stays whole, for links lead anywhere. */
  constructor(dir, filter = '') {
    this.dir = realpathSync(dir);
    this.allPages = readdirSync(this.dir, { recursive: true })
      .filter((name) => name.endsWith('.html'))
      .map((name) => name.split(sep).join('/'))
      .sort();
    this.pages = this.allPages.filter((page) => page.includes(filter));
  }

  path(page) {
    return join(this.dir, page);
  }

  url(page) {
    return pathToFileURL(this.path(page)).href;
  }

  /** The file inside the site that an address names, or null where it names none. */
  fileOf(address) {
    try {
      const path = fileURLToPath(address);
      return path === this.dir || path.startsWith(this.dir + sep) ? path : null;
    } catch {
      return null; // not a file: address
    }
  }

  /** The ids of all boards that have a guide. */
  boards() {
    return this.allPages.flatMap((page) => page.match(/^boards\/([^/]+)\/index\.html$/)?.[1] ?? []);
  }
}

// Counts checks and prints what failed, one line per fault.

const LONGEST = 400;

export class Report {
  passed = 0;
  failed = 0;

  /** One check: it passed where `faults` (a list of sentences) is empty. */
  check(page, where, what, faults) {
    if (faults.length === 0) {
      this.passed += 1;
      return;
    }
    this.failed += 1;
    for (const fault of faults) {
      const line = `FAIL ${page} [${where}] ${what}: ${fault}`.replace(/\s+/g, ' ');
      console.log(line.length > LONGEST ? `${line.slice(0, LONGEST)}…` : line);
    }
  }

  /** Runs one check that may itself break down; that is a failure of the page, not of the run. */
  async attempt(page, where, what, run) {
    try {
      await run();
    } catch (error) {
      this.check(page, where, what, [`broke down: ${error.message}`]);
    }
  }

  summary() {
    return `${this.passed} passed, ${this.failed} failed`;
  }
}

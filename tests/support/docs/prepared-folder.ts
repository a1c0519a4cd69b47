/**
 * The folder that the documentation's commands find: the rig file of Heron, and a recorded session of twelve simulated
 * shots from gentle to hard in `postern-data`, the demo's own folder included, and a dry run beside it. Made once, copied for each page.
 */
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writeVirtualJournal } from '../virtual-journal.ts';
import { HERON_YAML } from '../virtual-range.ts';
import type { BlockRunner } from './block-runner.ts';
import { ROOT } from './pages-of-docs.ts';

/** As docs name it. It was opened when the virtual range begins. */
export const SESSION_ID = '20260302T090000Z';
const SEED = 7;
const SHOTS = 12;
/** Five balls dropped through pair A. */
const DRY_RUN_ID = '20260302T080000Z';
const DROPS = 5;
const DRY_RUN_S = 18;

export class PreparedFolder {
  readonly #path: string;

  private constructor(path: string) {
    this.#path = path;
  }

  static async make(runner: BlockRunner): Promise<PreparedFolder> {
    const path = mkdtempSync(join(tmpdir(), 'postern-docs-data-'));
    const data = join(path, 'postern-data');
    mkdirSync(join(data, 'journals'), { recursive: true });
    await writeVirtualJournal(join(data, 'journals', `${SESSION_ID}.mcap`), { seed: SEED, shots: SHOTS, sessionId: SESSION_ID });
    const dryRun = join(data, 'dry-run', 'journals');
    mkdirSync(dryRun, { recursive: true });
    await writeVirtualJournal(join(dryRun, `${DRY_RUN_ID}.mcap`), {
      seed: SEED,
      shots: DROPS,
      drop: true,
      untilS: DRY_RUN_S,
      sessionId: DRY_RUN_ID,
    });
    const rebuilt = await runner.command(['rebuild', '--data', data], path);
    if (rebuilt.exitCode !== 0) throw new Error(rebuilt.stderr);
    cpSync(data, join(path, 'demo'), { recursive: true });
    cpSync(join(path, 'demo'), join(data, 'demo'), { recursive: true });
    rmSync(join(path, 'demo'), { recursive: true });
    // A gate found 3 mm further away than it was written down, as a corrected rig file has it.
    writeFileSync(join(path, 'corrected.yaml'), HERON_YAML.replace('position: 2.5000 m', 'position: 2.5030 m'));
    for (const name of ['RIG.yaml', 'heron.yaml', 'rig.yaml']) writeFileSync(join(path, name), HERON_YAML);
    for (const name of ['docs', 'firmware-sim', 'package.json']) symlinkSync(join(ROOT, name), join(path, name));
    return new PreparedFolder(path);
  }

  /** A copy that is one page's own. */
  copy(): { readonly path: string; remove(): void } {
    const path = mkdtempSync(join(tmpdir(), 'postern-docs-page-'));
    cpSync(this.#path, path, { recursive: true, verbatimSymlinks: true });
    return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
  }

  remove(): void {
    rmSync(this.#path, { recursive: true, force: true });
  }
}

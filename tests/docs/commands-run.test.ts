/** What the documentation says to type is typed, and what it says is printed is compared. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BlockRunner } from '../support/docs/block-runner.ts';
import { PAGE_PATHS, pageOf, ROOT } from '../support/docs/pages-of-docs.ts';
import { PreparedFolder } from '../support/docs/prepared-folder.ts';
import { Queue } from '../support/docs/queue.ts';
import { blocksToRun, runPage } from '../support/docs/run-page.ts';

/** Some seconds of computing, on a machine that may be busy. */
const PREPARED_MS_MAX = 300_000;
let runner: BlockRunner;
let prepared: PreparedFolder;

beforeAll(async () => {
  runner = await BlockRunner.start();
  prepared = await PreparedFolder.make(runner);
}, PREPARED_MS_MAX);
afterAll(async () => {
  prepared?.remove();
  await runner?.close();
});

const pages = PAGE_PATHS.map(pageOf);

describe('blocks that are not run here', () => {
  const leftOut = pages.flatMap(({ path, blocks }) =>
    blocks.flatMap(({ line, language, notRun }) =>
      language === 'sh' && notRun !== undefined ? [[`${path}:${line + 1}`, notRun] as const] : [],
    ),
  );

  it.each(leftOut)('%s: %s', (_place, reason) => {
    for (const [file] of reason.matchAll(/tests\/[\w./-]*\w/g)) expect(existsSync(join(ROOT, file)), file).toBe(true);
  });
});

/** A page waits for its demo and its replays most of the time; more at once would make the demos late. */
const AT_ONCE = 2;
/** Of all of them: each waits for its turn. */
const ALL_MS_MAX = 900_000;
const queue = new Queue(AT_ONCE);

describe('commands in the documentation', () => {
  it.concurrent.each(pages.filter((page) => blocksToRun(page).length > 0).map((page) => [page.path, page] as const))(
    '%s',
    { timeout: ALL_MS_MAX },
    async (_path, page) => {
      const { ran, unwell } = await queue.in(() => runPage(page, runner, prepared));
      const place = ({ line }: { readonly line: number }) => `${page.path}:${line + 1}`;
      for (const { block, exitCode, stdout, stderr } of ran) {
        expect({ at: place(block), exitCode, stderr: exitCode === block.exitCode ? '' : stderr }).toEqual({
          at: place(block),
          exitCode: block.exitCode,
          stderr: '',
        });
        if (block.output) expect(stdout.trimEnd(), `${place(block.output)}: npm run docs writes it anew`).toBe(block.output.text);
      }
      expect(unwell).toEqual([]);
    },
  );
});

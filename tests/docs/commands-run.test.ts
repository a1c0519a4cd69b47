/** What the documentation says to type is typed, and what it says is printed is compared. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BlockRunner } from '../support/docs/block-runner.ts';
import { PAGE_PATHS, pageOf } from '../support/docs/pages-of-docs.ts';
import { PreparedFolder } from '../support/docs/prepared-folder.ts';
import { blocksToRun, runPage } from '../support/docs/run-page.ts';

let runner: BlockRunner;
let prepared: PreparedFolder;

beforeAll(async () => {
  runner = await BlockRunner.start();
  prepared = await PreparedFolder.make(runner);
});
afterAll(async () => {
  prepared?.remove();
  await runner?.close();
});

const pages = PAGE_PATHS.map(pageOf);

describe('commands in the documentation', () => {
  it.each(pages.filter((page) => blocksToRun(page).length > 0).map((page) => [page.path, page] as const))('%s', async (_path, page) => {
    const { ran, unwell } = await runPage(page, runner, prepared);
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
  });
});

/**
 * Writes into the documentation what its commands print, and docs/commands.md, as they are now: into all pages, or those
 * that are named. Exit code 1 where a command does not do what its page says.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { BlockRunner } from '../support/docs/block-runner.ts';
import { commandHelps } from '../support/docs/command-help.ts';
import type { Page } from '../support/docs/markdown.ts';
import { PAGE_PATHS, pageOf, ROOT } from '../support/docs/pages-of-docs.ts';
import { PreparedFolder } from '../support/docs/prepared-folder.ts';
import { REFERENCE_PATH, referencePage } from '../support/docs/reference-page.ts';
import { type RunBlock, runPage } from '../support/docs/run-page.ts';

const wanted = process.argv.slice(2);
const isWanted = ({ path }: Page): boolean => wanted.length === 0 || wanted.includes(path);

const runner = await BlockRunner.start();
writeIfChanged(REFERENCE_PATH, referencePage(await commandHelps(runner, ROOT)));
const prepared = await PreparedFolder.make(runner);
try {
  for (const page of PAGE_PATHS.map(pageOf).filter((page) => isWanted(page) && page.blocks.some(({ output }) => output))) {
    const { ran } = await runPage(page, runner, prepared);
    for (const { block, exitCode, stderr } of ran) {
      if (exitCode === block.exitCode) continue;
      process.exitCode = 1;
      process.stderr.write(`${page.path}:${block.line + 1}: exit code ${exitCode}: ${stderr}\n`);
    }
    writeIfChanged(page.path, withOutputs(page, ran));
  }
} finally {
  prepared.remove();
  await runner.close();
}

function withOutputs(page: Page, ran: readonly RunBlock[]): string {
  const lines = page.text.split('\n');
  for (const { block, stdout } of ran.toReversed()) {
    const { output } = block;
    if (!output) continue;
    const printed = stdout.trimEnd().split('\n');
    lines.splice(output.line + 1, output.endLine - output.line - 1, ...printed.map((line) => (line === '' ? '' : output.indent + line)));
  }
  return lines.join('\n');
}

function writeIfChanged(path: string, text: string): void {
  const isNew = !PAGE_PATHS.includes(path);
  if (!isNew && pageOf(path).text === text) return;
  writeFileSync(join(ROOT, path), text);
  process.stdout.write(`${path} is written anew\n`);
}

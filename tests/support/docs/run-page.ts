/** All blocks of a page that are run, in their order, in a folder of the page's own. */
import type { BlockRunner } from './block-runner.ts';
import type { Block, Page } from './markdown.ts';
import type { PreparedFolder } from './prepared-folder.ts';

export interface RunBlock {
  readonly block: Block;
  readonly exitCode: number;
  readonly stdout: string;
  readonly stderr: string;
}

export const blocksToRun = (page: Page): readonly Block[] =>
  page.blocks.filter((block) => block.language === 'sh' && block.notRun === undefined);

/** @returns each block as it ran, and what did not end in order */
export async function runPage(
  page: Page,
  runner: BlockRunner,
  prepared: PreparedFolder,
): Promise<{ readonly ran: readonly RunBlock[]; readonly unwell: readonly string[] }> {
  const folder = prepared.copy();
  const ran: RunBlock[] = [];
  try {
    for (const block of blocksToRun(page)) ran.push({ block, ...(await runner.run(block.text, folder.path)) });
    return { ran, unwell: await runner.endLive(folder.path) };
  } finally {
    await runner.endLive(folder.path);
    folder.remove();
  }
}

/** The page, served for a command: where its files lie, and what to say when it cannot be had. */
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type RunningServer, type ServerOptions, startServer } from '../../serve/index.ts';
import { exists } from '../data/data-folder.ts';
import { CommandError, messageOf, warn } from '../output.ts';

export const PAGES_DIR = fileURLToPath(new URL('../../../dashboards/dist', import.meta.url));

/** @throws CommandError where no port can be had */
export async function servePages(options: Omit<ServerOptions, 'onPortTaken'>): Promise<RunningServer> {
  if (!exists(join(options.pagesDir, 'index.html'))) {
    warn('The pages are not built, so there is none to look at: npm run build:pages makes them. Everything else works without.');
  }
  try {
    return await startServer({ ...options, onPortTaken: (port) => warn(`Port ${port} is taken; trying the next.`) });
  } catch (error) {
    throw new CommandError(`The page cannot be served: ${messageOf(error)}`, 1, { cause: error });
  }
}

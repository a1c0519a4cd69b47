/** What is stored, from the store or from the host that holds it. */
import { Store, StoreLockedError } from '../../store/index.ts';
import { CommandError, warn } from '../output.ts';
import { type DataFolder, exists } from './data-folder.ts';

/**
 * @param askHost  where a running host has the store; undefined where it does not answer
 * @throws CommandError where neither can be asked
 */
export async function fromStore<T>(
  folder: DataFolder,
  ask: (store: Store) => Promise<T>,
  askHost: () => Promise<T | undefined>,
  whereNoStore: T,
): Promise<T> {
  if (!exists(folder.store)) return whereNoStore;
  try {
    const store = await Store.open(folder.store, { onProblem: ({ message }) => warn(message) });
    try {
      return await ask(store);
    } finally {
      await store.close();
    }
  } catch (error) {
    if (!(error instanceof StoreLockedError)) throw error;
    const answer = await askHost();
    if (answer === undefined) throw new CommandError(error.message, 1, { cause: error });
    return answer;
  }
}

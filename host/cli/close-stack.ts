/**
 * What was opened is closed again, in the reverse order, every part whatever the others do: a disk that refuses the
 * journal's end must not keep the store open, the page served or the simulated range running.
 */
import { CommandError, messageOf } from './output.ts';

export class CloseStack {
  readonly #parts: (() => void | Promise<void>)[] = [];
  #closing: Promise<readonly unknown[]> | undefined;

  /** @throws Error once closing has begun (caller's bug: nobody would close that part) */
  add(close: () => void | Promise<void>): void {
    if (this.#closing !== undefined) throw new Error('a part was added while closing');
    this.#parts.push(close);
  }

  /**
   * Closes every part; a second call waits for the first.
   * @throws (rejects) what the first part to fail threw; with more than one, a CommandError that names them all
   */
  async close(): Promise<void> {
    const failures = await this.#closeParts();
    if (failures.length > 0) throw together(failures);
  }

  /** Closes every part because of `error`. @returns what to throw: `error`, and with it what failed in closing */
  async closeAfter(error: unknown): Promise<unknown> {
    return together([error, ...(await this.#closeParts())]);
  }

  #closeParts(): Promise<readonly unknown[]> {
    this.#closing ??= this.#closeInTurn();
    return this.#closing;
  }

  async #closeInTurn(): Promise<readonly unknown[]> {
    const failures: unknown[] = [];
    for (let close = this.#parts.pop(); close !== undefined; close = this.#parts.pop()) {
      try {
        await close();
      } catch (failure) {
        failures.push(failure);
      }
    }
    return failures;
  }
}

/** Runs `work`, which adds what it opens, and closes all of it however the work ends. */
export async function closingAll<T>(work: (parts: CloseStack) => Promise<T>): Promise<T> {
  const parts = new CloseStack();
  let result: T;
  try {
    result = await work(parts);
  } catch (error) {
    throw await parts.closeAfter(error);
  }
  await parts.close();
  return result;
}

function together(failures: readonly unknown[]): unknown {
  const [first] = failures;
  if (failures.length === 1) return first;
  const exitCode = first instanceof CommandError ? first.exitCode : 1;
  return new CommandError(failures.map(messageOf).join('\n'), exitCode, { cause: new AggregateError(failures) });
}

/** What can go wrong with the store. It is derived data: every message says what is lost and how it comes back. */
export type StoreProblemCode = 'set-aside' | 'write-failed' | 'rows-dropped' | 'not-stored';

/** Said while the host runs on. */
export interface StoreProblem {
  readonly code: StoreProblemCode;
  /** One plain sentence: what, and what to do. */
  readonly message: string;
  readonly cause?: unknown;
}

/** Another process (or another part of this one) has the store open. */
export class StoreLockedError extends Error {
  override readonly name = 'StoreLockedError';
  constructor(path: string, cause?: unknown) {
    const holder = /\(PID (\d+)\)/.exec(messageOf(cause))?.[1];
    const who = holder === undefined ? 'another process' : `process ${holder}`;
    super(`The store ${path} is in use by ${who}: ask the running host for it, or end that process first.`, { cause });
  }
}

/** The store cannot be used, for a reason that a new file would not cure. */
export class StoreUnusableError extends Error {
  override readonly name = 'StoreUnusableError';
  constructor(path: string, cause: unknown) {
    super(`The store ${path} cannot be opened: ${firstLine(cause)}. Check the folder, its permissions and free space.`, { cause });
  }
}

/** A damaged part was met while reading. */
export class StoreDamagedError extends Error {
  override readonly name = 'StoreDamagedError';
  constructor(path: string, cause: unknown) {
    super(`The store ${path} is damaged (${firstLine(cause)}): stop the host and run "postern rebuild"; the journals hold everything.`, {
      cause,
    });
  }
}

export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

export function firstLine(error: unknown): string {
  return messageOf(error).split('\n', 1)[0] ?? '';
}

export function isLock(error: unknown): boolean {
  return /could not set lock|conflicting lock|being used by another process/i.test(messageOf(error));
}

export function isDamage(error: unknown): boolean {
  return /corrupt|checksum|could not read enough bytes|not a valid duckdb|serialization error|database has been invalidated/i.test(
    messageOf(error),
  );
}

/** Reasons outside the file: moving it aside would not help, and would hide the true cause. */
export function isSurroundings(error: unknown): boolean {
  return /permission denied|read-only|no space|out of memory|too many open files|no such file|is a directory|not a directory/i.test(
    messageOf(error),
  );
}

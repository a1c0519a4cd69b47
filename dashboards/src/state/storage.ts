/** The browser's memory, where it has one: a private window may forbid it, and the page still works. */

export function recall(key: string, storage: 'local' | 'session' = 'local'): string | null {
  try {
    return storeOf(storage).getItem(key);
  } catch {
    return null;
  }
}

/** @param value  null forgets it */
export function remember(key: string, value: string | null, storage: 'local' | 'session' = 'local'): void {
  try {
    if (value === null) storeOf(storage).removeItem(key);
    else storeOf(storage).setItem(key, value);
  } catch {
    // Full or forbidden: the choice then lasts as long as the page.
  }
}

const storeOf = (storage: 'local' | 'session'): Storage => (storage === 'local' ? localStorage : sessionStorage);

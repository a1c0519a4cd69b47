import type { Impact } from '../../../protocol/index.ts';

/** Such as `3` or `3, 1 of them excluded`. */
export function impactsText(impacts: readonly Impact[]): string {
  const out = excludedCount(impacts);
  return out === 0 ? String(impacts.length) : `${impacts.length}, ${out} of them excluded`;
}

/** Such as `1 excluded shot`; empty where none was. */
export function excludedText(impacts: readonly Impact[]): string {
  const out = excludedCount(impacts);
  return out === 0 ? '' : `${out} excluded ${out === 1 ? 'shot' : 'shots'}`;
}

const excludedCount = (impacts: readonly Impact[]): number => impacts.filter(({ excluded }) => excluded).length;

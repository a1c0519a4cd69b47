/** A simulated instrument's format, as a rig file would describe it. */
import type { TextLayout } from '../../host/rig/index.ts';

export type PrintedFormat = { readonly pattern: RegExp } | { readonly columns: readonly string[]; readonly separator: string };

export const layoutOf = (format: PrintedFormat): TextLayout =>
  'pattern' in format
    ? { by: 'pattern', pattern: format.pattern.source }
    : { by: 'columns', columns: format.columns.map((name) => (name === '-' ? undefined : name)), separator: format.separator };

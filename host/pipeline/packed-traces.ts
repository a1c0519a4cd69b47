/** A shot's traces in half of the room: they are most of what is kept of it, and two hundred shots are kept for hours. */
import type { PressureTrace } from '../../protocol/index.ts';

/** A tenth of a pascal is far below a count of any gauge here, and keeps the record small. */
export const VALUES_A_PASCAL = 10;

export interface PackedTrace extends Omit<PressureTrace, 'valuesPa'> {
  /** A trace's values are whole tenths of a pascal. */
  readonly tenthsPa: Int32Array;
}

export const packed = (traces: readonly PressureTrace[]): readonly PackedTrace[] =>
  traces.map(({ valuesPa, ...rest }) => ({ ...rest, tenthsPa: Int32Array.from(valuesPa, (pa) => Math.round(pa * VALUES_A_PASCAL)) }));

/** @returns what was packed, to the last digit */
export const unpacked = (traces: readonly PackedTrace[]): readonly PressureTrace[] =>
  traces.map(({ tenthsPa, ...rest }) => ({ ...rest, valuesPa: Array.from(tenthsPa, (tenths) => tenths / VALUES_A_PASCAL) }));

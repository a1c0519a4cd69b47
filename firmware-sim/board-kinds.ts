/** What `--board` may name: the gate board that is simulated, or the program of the one to flash, run cycle by cycle. */
export const BOARD_KINDS = ['simulated', 'avr'] as const;
export type BoardKind = (typeof BOARD_KINDS)[number];

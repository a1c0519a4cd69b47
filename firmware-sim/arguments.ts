/** The command line of the simulated range. */
import { parseArgs } from 'node:util';
import { BOARD_KINDS, type BoardKind } from './board-kinds.ts';
import { FAULTS, type FaultName, faultLines } from './faults.ts';
import { PACES, type Pace, SET_POINTS, type SetPoints } from './world/procedure.ts';

export interface RangeArguments {
  /** Folder for the wires, each by the name of its board. */
  readonly wires: string;
  readonly seed: number;
  readonly pace: Pace;
  readonly faults: readonly FaultName[];
  readonly board: BoardKind;
  /** As `--fills` says. */
  readonly setPoints: SetPoints;
  /** Balls are dropped through pair A, and nothing is fired. */
  readonly drop: boolean;
  /** Range seconds for each second on the wall; undefined: as fast as real time, where the machine can. */
  readonly rate?: number;
  readonly shots?: number;
  readonly truth?: string;
  /** Where to write the rig file that fits this range. */
  readonly rig?: string;
}

export const USAGE = `usage: main.ts --wires DIR [--seed N] [--pace ${PACES.join('|')}] [--shots N] [--faults NAME,…] [--board ${BOARD_KINDS.join('|')}] [--fills ${SET_POINTS.join('|')}] [--drop] [--rate R] [--truth FILE] [--rig FILE]
       main.ts --list-faults
faults:
${faultLines().join('\n')}`;

/** @throws Error with one plain sentence for an argument that does not fit */
export function readArguments(argv: readonly string[]): RangeArguments {
  const text = { type: 'string' } as const;
  const options = {
    wires: text,
    seed: text,
    pace: text,
    shots: text,
    faults: text,
    board: text,
    fills: text,
    drop: { type: 'boolean' } as const,
    rate: text,
    truth: text,
    rig: text,
  };
  const { values } = parseArgs({ args: [...argv], options });
  if (!values.wires) throw new Error('--wires is missing: name the folder for the wires.');
  const pace = PACES.find((name) => name === (values.pace ?? 'real'));
  if (!pace) throw new Error(`--pace ${values.pace}: give ${PACES.join(' or ')}.`);
  const board = BOARD_KINDS.find((kind) => kind === (values.board ?? 'simulated'));
  if (!board) throw new Error(`--board ${values.board}: give ${BOARD_KINDS.join(' or ')}.`);
  const setPoints = SET_POINTS.find((name) => name === (values.fills ?? 'target'));
  if (!setPoints) throw new Error(`--fills ${values.fills}: give ${SET_POINTS.join(' or ')}.`);
  return {
    wires: values.wires,
    seed: whole('--seed', values.seed ?? '1', 0),
    pace,
    faults: (values.faults ?? '').split(/[ ,]+/).filter(Boolean).map(faultName),
    board,
    setPoints,
    drop: values.drop === true,
    ...(values.rate === undefined ? {} : { rate: rateOf(values.rate) }),
    ...(values.shots === undefined ? {} : { shots: whole('--shots', values.shots, 1) }),
    ...(values.truth === undefined ? {} : { truth: values.truth }),
    ...(values.rig === undefined ? {} : { rig: values.rig }),
  };
}

function rateOf(text: string): number {
  const rate = Number(text);
  if (!(rate > 0 && rate <= 1)) throw new Error(`--rate ${text}: give a number above 0, at most 1.`);
  return rate;
}

function whole(name: string, text: string, min: number): number {
  const value = Number(text);
  if (!/^\d+$/.test(text) || !Number.isSafeInteger(value) || value < min)
    throw new Error(`${name} ${text}: give a whole number from ${min} up.`);
  return value;
}

function faultName(text: string): FaultName {
  const name = FAULTS.find((fault) => fault === text);
  if (!name) throw new Error(`--faults ${text}: no such fault; there are ${FAULTS.join(', ')}; postern demo --help says what each does.`);
  return name;
}

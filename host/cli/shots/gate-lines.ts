/** What each gate said of one shot, as a table on a terminal. */
import type { GatePassage, RigSummary, Shot } from '../../../protocol/index.ts';
import { formatValue, formatWithUncertainty, NO_VALUE, withMinus } from '../../units/index.ts';
import { columns } from '../text/columns.ts';

const TITLES = [
  'Gate',
  'Place',
  'Said',
  'Passed at',
  'Residual',
  'Residual/u',
  'Chord',
  'Off axis',
  'By occlusion alone',
  'Edges left out',
];

/** @param gates  the rig's; undefined where it is not at hand: then a gate that saw nothing at all is not in the table */
export function gateLines(shot: Shot, gates: RigSummary['gates'] | undefined): readonly string[] {
  const names = gates?.map(({ name }) => name) ?? gatesHeardOf(shot);
  if (names.length === 0) return ['No gate saw anything.'];
  const rows = names.map((name) => row(shot, name, gates?.find((gate) => gate.name === name)?.positionM));
  return [...columns(TITLES, rows), '', ...EXPLAINED, ...(gates ? [] : [NOT_ALL])];
}

const EXPLAINED = [
  'Residual: measured minus fitted time of passage, and as a multiple of the measured time’s standard uncertainty u (k = 1).',
  'By occlusion alone: the diameter over the time blocked, ± u (k = 1); too high where the ball passed beside the beam’s middle. It has no part in the results.',
];
const NOT_ALL = 'The rig file of this session is not in the store: a gate that saw nothing is not in this table.';

function row(shot: Shot, name: string, positionM: number | undefined): readonly string[] {
  const used = shot.passages.find(({ gate }) => gate === name);
  const rejected = shot.rejectedPassages?.find(({ gate }) => gate === name);
  const passage = used ?? rejected;
  const leftOut = shot.edges.filter(({ gate, verdict }) => gate === name && verdict === 'rejected').map(({ reason }) => reason);
  const place = passage?.positionM ?? positionM;
  return [
    name,
    place === undefined ? NO_VALUE : formatValue(place, 'length', 'SI'),
    verdict(used, rejected, leftOut.length),
    ...passageCells(passage),
    tally(leftOut),
  ];
}

function verdict(used: GatePassage | undefined, rejected: GatePassage | undefined, edgesLeftOut: number): string {
  if (used) return used.occlusionS === undefined ? 'used, in part' : 'used';
  if (rejected) return 'REJECTED';
  return edgesLeftOut > 0 ? 'NO PASSAGE' : 'NOTHING';
}

function passageCells(passage: GatePassage | undefined): readonly string[] {
  const { timeS, residualS, timeStandardUncertaintyS, chordM, offAxisM, occlusionVelocityMps: alone } = passage ?? {};
  return [
    timeS === undefined ? NO_VALUE : formatValue(timeS, 'time', 'SI'),
    residualS === undefined ? NO_VALUE : `${signed(1e6 * residualS, 2)} µs`,
    residualS === undefined || timeStandardUncertaintyS === undefined ? NO_VALUE : signed(residualS / timeStandardUncertaintyS, 2),
    chordM === undefined ? NO_VALUE : formatValue(chordM, 'smallLength', 'SI'),
    offAxisM === undefined ? NO_VALUE : formatValue(offAxisM, 'smallLength', 'SI'),
    alone === undefined ? NO_VALUE : formatWithUncertainty(alone.value, alone.standardUncertainty, 'velocity', 'SI'),
  ];
}

function signed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  if (Number(text) === 0) return text.replace('-', '');
  return value > 0 ? `+${text}` : withMinus(text);
}

/** Such as `2 ahead of the projectile; 1 behind the projectile`. */
function tally(reasons: readonly string[]): string {
  const counts = new Map<string, number>();
  for (const reason of reasons) counts.set(reason, (counts.get(reason) ?? 0) + 1);
  return [...counts].map(([reason, count]) => `${count} ${reason}`).join('; ');
}

/** In the order of the flight. */
function gatesHeardOf({ passages, rejectedPassages = [], edges }: Shot): readonly string[] {
  const heard = [...passages, ...rejectedPassages, ...edges.filter(({ verdict: v }) => v === 'rejected')];
  const first = new Map<string, number>();
  for (const { gate, timeS } of heard) first.set(gate, Math.min(timeS, first.get(gate) ?? Number.POSITIVE_INFINITY));
  return [...first].sort(([, a], [, b]) => a - b).map(([gate]) => gate);
}

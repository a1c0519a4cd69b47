/** What each gate said of a shot, for the reader of the shot. */
import type { GatePassage, RigSummary, Shot, ShotFlag } from '../../../protocol/index.ts';

export type GateVerdict = 'used' | 'used in part' | 'rejected' | 'no passage' | 'saw nothing';

export interface GateRow {
  readonly name: string;
  readonly positionM: number | undefined;
  readonly verdict: GateVerdict;
  /** Of a rejected gate too. */
  readonly passage: GatePassage | undefined;
  /** Of its edges, why so many were left out. */
  readonly leftOut: readonly { readonly reason: string; readonly count: number }[];
}

/** @param gates  of the rig that fired the shot; empty where it is not known: then a gate that saw nothing has no row */
export function gateRows(shot: Shot, gates: RigSummary['gates']): readonly GateRow[] {
  const { passages, rejectedPassages = [], edges } = shot;
  const leftOut = edges.filter(({ verdict }) => verdict === 'rejected');
  const heard = [...passages, ...rejectedPassages, ...leftOut].toSorted((a, b) => a.timeS - b.timeS);
  const names = [...new Set([...gates.map(({ name }) => name), ...heard.map(({ gate }) => gate)])];
  return names.map((name) => {
    const used = passages.find(({ gate }) => gate === name);
    const passage = used ?? rejectedPassages.find(({ gate }) => gate === name);
    const reasons = leftOut.filter(({ gate }) => gate === name).map(({ reason }) => reason);
    return {
      name,
      positionM: passage?.positionM ?? gates.find((gate) => gate.name === name)?.positionM,
      verdict: used ? wholeOrPart(used) : without(passage, reasons.length),
      passage,
      leftOut: [...new Set(reasons)].map((reason) => ({ reason, count: reasons.filter((other) => other === reason).length })),
    };
  });
}

const wholeOrPart = ({ occlusionS }: GatePassage): GateVerdict => (occlusionS === undefined ? 'used in part' : 'used');

function without(passage: GatePassage | undefined, edgesLeftOut: number): GateVerdict {
  if (passage) return 'rejected';
  return edgesLeftOut > 0 ? 'no passage' : 'saw nothing';
}

/** Those whose reader wants to see the gates one by one. */
const GATE_FLAGS: ReadonlySet<ShotFlag> = new Set<ShotFlag>([
  'gate-missed',
  'edges-rejected',
  'one-edge-only',
  'software-timed',
  'gate-rejected',
  'gate-doubtful',
  'far-off-axis',
  'chords-differ',
  'no-velocity',
  'single-pair',
  'edges-lost-on-board',
]);

export const concernsGates = ({ flags }: Shot): boolean => flags.some((flag) => GATE_FLAGS.has(flag));

/** Measured minus fitted time in standard uncertainties of the measured time; undefined where either is missing. */
export function residualShare({ residualS, timeStandardUncertaintyS }: GatePassage): number | undefined {
  const share = (residualS ?? Number.NaN) / (timeStandardUncertaintyS ?? Number.NaN);
  return Number.isFinite(share) ? share : undefined;
}

/** With its sign, a minus of full width, and none on a zero. */
export function signed(value: number, decimals: number): string {
  const size = Math.abs(value).toFixed(decimals);
  if (Number(size) === 0) return size;
  return `${value < 0 ? '−' : '+'}${size}`;
}

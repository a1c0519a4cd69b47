/** A drop check as a person reads it on a terminal. */
import { basename } from 'node:path';
import type { Result } from '../../../protocol/index.ts';
import type { DropCheck } from '../../analysis/drop/index.ts';
import { type Estimate, expandedUncertainty } from '../../metrology/index.ts';
import { toResult } from '../../pipeline/result.ts';
import type { Gate, UncertainSi } from '../../rig/index.ts';
import { withMinus } from '../../units/index.ts';
import { budgetLines } from '../shots/budget-lines.ts';
import { columns } from '../text/columns.ts';

export interface DropLinesAsked {
  readonly journal: string;
  readonly gates: readonly [Gate, Gate];
  readonly heightM: UncertainSi;
  readonly withBudget: boolean;
}

export function dropLines(
  { expected, drops, otherBlocks, found }: DropCheck,
  { journal, gates, heightM, withBudget }: DropLinesAsked,
): readonly string[] {
  const { spacingM, timeS: expectedS, speedsMps } = expected;
  const head = [
    `Journal ${basename(journal)}`,
    `Pair ${gates[0].pair}: ${mm(spacingM.value)} from beam to beam, the ball let go with its underside ${mm(heightM.value)} above the upper one.`,
    `Expected: ${ms(expectedS.value)} ± ${ms(expandedUncertainty(expectedS))} from beam to beam, ${speedsMps[0].toFixed(2)} m/s at the upper and ${speedsMps[1].toFixed(2)} m/s at the lower.`,
  ];
  if (!found) return head;
  const rows = drops.map(({ blocks: [upper, lower], timeS }, index) => [
    String(index + 1),
    `${upper.gate} to ${lower.gate}`,
    ms(timeS.value),
    `${(spacingM.value / timeS.value).toFixed(4)} m/s`,
    `${(spacingM.value / expectedS.value).toFixed(4)} m/s`,
    percent(expectedS.value / timeS.value - 1),
  ]);
  const { relativeDifference, score } = found;
  const agrees = Math.abs(score) <= 1;
  const others = blocksBesides(otherBlocks.length);
  return [
    ...head,
    '',
    ...columns(['Drop', 'Fell from', 'Took', 'Mean speed', 'Expected', 'Difference'], rows),
    '',
    `${drops.length === 1 ? 'One drop' : `${drops.length} drops`}: the gates differ from gravity by ${percent(relativeDifference.value)} ± ${percent(expandedUncertainty(relativeDifference), false)} (95 %), E_n ${withMinus(score.toFixed(2))}: they ${agrees ? 'agree' : 'do not agree'}.`,
    ...(agrees ? [] : explanation(found.explainedBy, spacingM.value, heightM.value)),
    ...others,
    ...(withBudget
      ? ['', ...budgetLines('Difference', withRemedy(relativeDifference))]
      : [`${withRemedy(relativeDifference).advice} --budget shows all.`]),
  ];
}

function blocksBesides(count: number): readonly string[] {
  if (count === 0) return [];
  return [`${count === 1 ? 'One more block' : `${count} more blocks`}, of no drop: a hand, or the ball picked up.`];
}

function explanation(
  { spacingM, heightM, clockRelative }: NonNullable<DropCheck['found']>['explainedBy'],
  lengthM: number,
  fromM: number,
): readonly string[] {
  return [
    `It would be explained by beams ${mm(lengthM + spacingM)} apart, not ${mm(lengthM)}; or by a release ${mm(fromM + heightM)} above, not ${mm(fromM)}; or by a clock that counts ${percent(Math.abs(clockRelative), false)} too ${clockRelative > 0 ? 'fast' : 'slow'}.`,
    'Measure the spacing again from beam to beam, and the height; a clock is seldom that far off. Do not fire before it is found.',
  ];
}

/** Its terms that count, and what helps against the largest. */
function withRemedy(difference: Estimate): Result {
  const result = toResult(difference, '1');
  const budget = result.budget.filter(({ contribution }) => contribution > SHOWN_FROM * result.standardUncertainty);
  const [first] = budget;
  if (!first) return result;
  const share = Math.round(100 * (first.contribution / result.standardUncertainty) ** 2);
  const remedy = REMEDIES.find(([pattern]) => pattern.test(first.input))?.[1] ?? 'know it better';
  return { ...result, budget, advice: `The largest part, ${share} % of the variance, is ${first.input}; what helps: ${remedy}.` };
}

/** Of the whole uncertainty: less is under 0.05 % of the variance. */
const SHOWN_FROM = 0.02;
const REMEDIES: readonly (readonly [pattern: RegExp, remedy: string])[] = [
  [/^release height$/, 'let the ball go from a stop, and measure from it to the beam'],
  [/^drag of the falling ball$/, 'a shorter fall, or a heavier ball of the same size'],
  [/^gravity$/, 'tell the place by --latitude and --altitude'],
  [/^scatter of the drops$/, 'more drops, and a steadier hand'],
  [/^gate .* where the detector trips$/, 'a higher release, since a faster ball crosses the beam sooner'],
  [/^(gate .* position|scale of the tape)$/, 'measure the pair’s spacing better'],
];

const mm = (metres: number): string => `${(1000 * metres).toFixed(1)} mm`;
const ms = (seconds: number): string => `${(1000 * seconds).toFixed(3)} ms`;
const percent = (share: number, signed = true): string => `${signed && share > 0 ? '+' : ''}${withMinus((100 * share).toFixed(3))} %`;

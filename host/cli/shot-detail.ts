/** One shot in full on a terminal: every result, and what every gate said. */
import type { Result, Shot } from '../../protocol/index.ts';
import { resultsOf } from './budget-lines.ts';
import { columns } from './columns.ts';

export function shotDetail(shot: Shot): readonly string[] {
  return [
    `Shot ${shot.id}, ${shot.firedAt}, timed by ${shot.firedBy}`,
    '',
    ...resultLines(shot),
    '',
    ...gateLines(shot),
    ...rejectedLines(shot),
  ];
}

function resultLines(shot: Shot): readonly string[] {
  const rows = resultsOf(shot).flatMap(({ title, result }) => (result ? [[title, valueText(result), uncertaintyText(result)]] : []));
  return columns(['Result', 'Value', '± 95 %'], rows);
}

const unitOf = ({ unit }: Result): string => (unit === '1' ? '' : ` ${unit}`);

/** To the second digit of its uncertainty. */
function decimalsOf({ expandedUncertainty }: Result): number {
  return expandedUncertainty > 0 ? Math.min(9, Math.max(0, 1 - Math.floor(Math.log10(expandedUncertainty)))) : 6;
}

const valueText = (result: Result): string => `${result.value.toFixed(decimalsOf(result))}${unitOf(result)}`;
const uncertaintyText = (result: Result): string => `${result.expandedUncertainty.toFixed(decimalsOf(result))}${unitOf(result)}`;

/** Residuals over their uncertainty: a gate beyond 3 is suspect. */
function gateLines({ passages }: Shot): readonly string[] {
  if (passages.length === 0) return ['No gate saw the projectile pass.'];
  const rows = passages.map((passage) => {
    const { residualS, timeStandardUncertaintyS, occlusionVelocityMps: own } = passage;
    const score = residualS !== undefined && timeStandardUncertaintyS ? residualS / timeStandardUncertaintyS : undefined;
    return [
      passage.gate,
      `${passage.positionM.toFixed(4)} m`,
      `${(1e3 * passage.timeS).toFixed(4)} ms`,
      shown(residualS, (s) => `${(1e6 * s).toFixed(2)} µs`),
      shown(score, (z) => z.toFixed(1)),
      shown(passage.chordM, (m) => `${(1e3 * m).toFixed(1)} mm`),
      shown(passage.offAxisM, (m) => `${(1e3 * m).toFixed(0)} mm`),
      shown(own, ({ value, standardUncertainty }) => `${value.toFixed(1)} m/s, u ${standardUncertainty.toFixed(1)}`),
    ];
  });
  return columns(['Gate', 'Place', 'Passed at', 'Residual', 'over u', 'Chord', 'Off axis', 'Diameter over occlusion'], rows);
}

function rejectedLines({ edges }: Shot): readonly string[] {
  const rejected = edges.filter(({ verdict }) => verdict === 'rejected');
  if (rejected.length === 0) return [];
  const rows = rejected.map((edge) => [edge.gate, edge.active ? 'blocked' : 'cleared', `${(1e3 * edge.timeS).toFixed(4)} ms`, edge.reason]);
  return ['', ...columns(['Gate', 'Edge', 'At', 'Left out because it'], rows)];
}

const shown = <T>(value: T | undefined, text: (value: T) => string): string => (value === undefined ? '–' : text(value));

/** All shots in one table, and those that do not count. */
import type { RigSummary, Shot } from '../../../../protocol/index.ts';
import { type DisplaySystem, formatValue, formatWithUncertainty, NO_VALUE, type QuantityKind } from '../../../units/index.ts';
import { askedText, bandText, ruleText } from '../../shots/acceptance-lines.ts';
import type { ReportFacts } from '../gather.ts';
import { type Html, html, table } from '../html.ts';

export function summarySection({ shots, rig }: ReportFacts, system: DisplaySystem): Html {
  const isAsked = shots.some(({ acceptance }) => acceptance);
  const head = [
    'Shot',
    'Fired, UTC',
    'Fill, absolute',
    'Barrel, absolute',
    'Muzzle',
    'Mach',
    'Target',
    'Drag',
    ...(isAsked ? ['Asked'] : []),
    'Flags',
  ];
  const rows = shots.map((shot) => [
    html`<a href="#shot-${shot.number}">${shot.number}</a>${shot.exclusion ? ' (left out)' : ''}${shot.weighed ? ' (weighed)' : ''}`,
    shot.firedAt.slice(11, 19),
    valueText(shot.reservoirPressurePa?.value, 'pressure', system),
    valueText(shot.barrelPressurePa?.value, 'vacuum', system),
    resultText(shot.muzzleVelocityMps, 'velocity', system),
    resultText(shot.mach, 'number', system),
    resultText(shot.targetVelocityMps, 'velocity', system),
    resultText(shot.dragCoefficient, 'number', system),
    ...(isAsked ? [html`<span class="verdict">${shot.acceptance?.verdict ?? ''}</span>`] : []),
    shot.flags.join(', ') || 'none',
  ]);
  const asked = askedOf(rig, system);
  return html`<section><h2>Shots</h2>
${shots.length === 0 ? html`<p>No shot was fired.</p>` : html`${table(head, rows, 'Each with its 95 % expanded uncertainty')}`}
${leftOutTable(shots)}
${asked.length === 0 ? undefined : html`<h3>What was asked</h3><ul>${asked.map((one) => html`<li>${one}</li>`)}</ul>`}
</section>`;
}

function askedOf({ acceptance = [], agreement, cameraAgreement = [] }: RigSummary, system: DisplaySystem): readonly string[] {
  const within = (withinMps: number): string => `agree within ${formatValue(withinMps, 'velocity', system)}`;
  return [
    ...acceptance.map((one) => `${one.name}: ${askedText(one.of)} ${bandText(one)}, ${ruleText(one)}`),
    ...(agreement ? [`Pairs ${agreement.pairs.join(' and ')} ${within(agreement.withinMps)}, ${ruleText(agreement)}`] : []),
    ...cameraAgreement.map((one) => `Camera ${one.camera} and the gates ${within(one.withinMps)}, ${ruleText(one)}`),
  ];
}

function leftOutTable(shots: readonly Shot[]): Html {
  const out = shots.flatMap(({ number, exclusion }) => (exclusion ? [[String(number), exclusion.reason, exclusion.who]] : []));
  if (out.length === 0) return html`<p>No shot was left out.</p>`;
  return html`<h3>Shots left out of every mean and fit</h3>${table(['Shot', 'Reason', 'By'], out)}`;
}

export const valueText = (value: number | undefined, kind: QuantityKind, system: DisplaySystem): string =>
  value === undefined ? NO_VALUE : formatValue(value, kind, system);

export const resultText = (
  result: { readonly value: number; readonly expandedUncertainty: number } | undefined,
  kind: QuantityKind,
  system: DisplaySystem,
): string => (result ? formatWithUncertainty(result.value, result.expandedUncertainty, kind, system) : NO_VALUE);

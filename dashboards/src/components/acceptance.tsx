/** What the shot came to by what was asked of it, and the mass that it was weighed at. */
import { formatParts, formatValue, type QuantityKind } from '../../../host/units/index.ts';
import type { AgreementVerdict, CameraAgreementVerdict, CriterionVerdict, Shot } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { oneLine } from '../text/result-text.ts';

const KINDS: Readonly<Record<CriterionVerdict['unit'], QuantityKind>> = { 'm/s': 'velocity', J: 'energy', '1': 'number' };
const OF: Readonly<Record<CriterionVerdict['of'], string>> = {
  'muzzle-velocity': 'muzzle velocity',
  'target-velocity': 'target velocity',
  mach: 'Mach',
  'muzzle-energy': 'energy at the muzzle',
  'target-energy': 'energy at the target',
};
/** Told apart by the sign before the word, not by colour alone. */
const SIGNS = { accepted: '✓', rejected: '✕', undecided: '?' } as const;

export function Acceptance({ shot }: { readonly shot: Shot }) {
  const { acceptance, weighed } = shot;
  return (
    <>
      {acceptance && (
        <section class="acceptance" aria-labelledby="acceptance-title">
          <h3 id="acceptance-title">
            Asked of it:{' '}
            <strong class={acceptance.verdict}>
              <span aria-hidden="true">{SIGNS[acceptance.verdict]}</span> {acceptance.verdict}
            </strong>
          </h3>
          <ul>
            {acceptance.criteria.map((criterion) => (
              <li key={criterion.name}>
                <Criterion {...criterion} />
              </li>
            ))}
            {acceptance.agreement && (
              <li>
                <Agreement who={`Pairs ${acceptance.agreement.pairs.join(' and ')}`} of={acceptance.agreement} />
              </li>
            )}
            {acceptance.cameraAgreement?.map((agreement) => (
              <li key={agreement.camera}>
                <Agreement who={`Camera ${agreement.camera} and gates`} of={agreement} />
              </li>
            ))}
          </ul>
        </section>
      )}
      {weighed && (
        <p class="weighed">
          Projectile weighed by {weighed.who}: {massText(weighed)} in place of {massText(weighed.insteadOf)} ({weighed.reason}).
        </p>
      )}
    </>
  );
}

function Criterion({ name, of, unit, value, expandedUncertainty, fromSi, toSi, rule, guardFactor, verdict, why }: CriterionVerdict) {
  const system = units.value;
  const kind = KINDS[unit];
  const text = (si: number): string => formatValue(si, kind, system);
  const band =
    fromSi === undefined
      ? `at most ${text(toSi ?? 0)}`
      : toSi === undefined
        ? `at least ${text(fromSi)}`
        : `${text(fromSi)} to ${text(toSi)}`;
  const measured = value === undefined ? 'not known' : oneLine(formatParts(value, expandedUncertainty, kind, system));
  return (
    <>
      <strong>{name}</strong>: {OF[of]} {measured}, asked {band}, {ruleText(rule, guardFactor)}: {verdict}, {why}.
    </>
  );
}

function Agreement({ who, of }: { readonly who: string; readonly of: AgreementVerdict | CameraAgreementVerdict }) {
  const { withinMps, differenceMps, expandedUncertaintyMps, rule, guardFactor, verdict, why } = of;
  const system = units.value;
  const found =
    differenceMps === undefined ? '' : `${oneLine(formatParts(differenceMps, expandedUncertaintyMps, 'velocity', system))} apart, `;
  return (
    <>
      <strong>{who}</strong>: {found}asked within {formatValue(withinMps, 'velocity', system)}, {ruleText(rule, guardFactor)}:{' '}
      {verdict === 'undecided' ? verdict : `they ${verdict}`}, {why}.
    </>
  );
}

const ruleText = (rule: CriterionVerdict['rule'], guardFactor: number): string =>
  rule === 'plain' ? 'plain rule' : `guarded by ${guardFactor} U`;

const massText = ({ valueKg, standardUncertaintyKg }: { readonly valueKg: number; readonly standardUncertaintyKg: number }): string =>
  oneLine(formatParts(valueKg, 2 * standardUncertaintyKg, 'mass', units.value));

/** What a shot came to by what was asked of it, as a person reads it. */
import type { AgreementVerdict, CameraAgreementVerdict, CriterionVerdict, ShotAcceptance } from '../../../protocol/index.ts';
import { formatValue, formatWithUncertainty, type QuantityKind } from '../../units/index.ts';

const KINDS: Readonly<Record<CriterionVerdict['unit'], QuantityKind>> = { 'm/s': 'velocity', J: 'energy', '1': 'number' };
const OF: Readonly<Record<CriterionVerdict['of'], string>> = {
  'muzzle-velocity': 'muzzle velocity',
  'target-velocity': 'target velocity',
  mach: 'Mach',
  'muzzle-energy': 'energy at the muzzle',
  'target-energy': 'energy at the target',
};

/** Such as `340.0 m/s to 350.0 m/s`. */
export function bandText({ unit, fromSi, toSi }: Pick<CriterionVerdict, 'unit' | 'fromSi' | 'toSi'>): string {
  const text = (si: number): string => formatValue(si, KINDS[unit], 'SI');
  if (fromSi === undefined) return `at most ${text(toSi ?? Number.NaN)}`;
  return toSi === undefined ? `at least ${text(fromSi)}` : `${text(fromSi)} to ${text(toSi)}`;
}

export const ruleText = ({ rule, guardFactor }: Pick<CriterionVerdict, 'rule' | 'guardFactor'>): string =>
  rule === 'plain' ? 'plain rule' : `guarded by ${guardFactor} U`;

export const askedText = (of: CriterionVerdict['of']): string => OF[of];

export const acceptanceLines = (acceptance: ShotAcceptance): readonly string[] => [
  `Asked of it, and come to: ${acceptance.verdict.toUpperCase()}`,
  ...askedTexts(acceptance).map((text) => `  ${text}`),
];

/** One for each thing that is asked. */
export const askedTexts = ({ criteria, agreement, cameraAgreement = [] }: ShotAcceptance): readonly string[] => [
  ...criteria.map(criterionText),
  ...(agreement ? [agreementText(agreement)] : []),
  ...cameraAgreement.map(cameraAgreementText),
];

/** Such as `hail class 3: target velocity 345.2 m/s ± 0.3 m/s, asked 340.0 m/s to 350.0 m/s, …: accepted, …`. */
function criterionText(criterion: CriterionVerdict): string {
  const { name, of, unit, value, expandedUncertainty, conformanceProbability, verdict, why } = criterion;
  const measured = value === undefined ? 'not known' : formatWithUncertainty(value, expandedUncertainty ?? 0, KINDS[unit], 'SI');
  const probability = conformanceProbability === undefined ? '' : `; within it with a probability of ${percent(conformanceProbability)}`;
  return `${name}: ${OF[of]} ${measured}, asked ${bandText(criterion)}, ${ruleText(criterion)}: ${verdict}, ${why}${probability}`;
}

function agreementText(agreement: AgreementVerdict): string {
  return comparedText(`pairs ${agreement.pairs.join(' and ')}`, agreement);
}

function cameraAgreementText(agreement: CameraAgreementVerdict): string {
  return comparedText(`camera ${agreement.camera} and gates`, agreement);
}

function comparedText(who: string, compared: AgreementVerdict | CameraAgreementVerdict): string {
  const { withinMps, differenceMps, expandedUncertaintyMps, positionM, verdict, why } = compared;
  const found =
    differenceMps === undefined
      ? 'not compared'
      : `${formatWithUncertainty(differenceMps, expandedUncertaintyMps ?? 0, 'velocity', 'SI')} apart at ${formatValue(positionM ?? 0, 'length', 'SI')}`;
  const asked = `asked within ${formatValue(withinMps, 'velocity', 'SI')}, ${ruleText(compared)}`;
  return `${who}: ${found}, ${asked}: ${verdict === 'undecided' ? 'undecided' : `they ${verdict}`}, ${why}`;
}

/** Never shown as certain. */
function percent(probability: number): string {
  if (probability > 0.9999) return 'more than 99.99 %';
  if (probability < 0.0001) return 'less than 0.01 %';
  return `${(100 * probability).toFixed(2)} %`;
}

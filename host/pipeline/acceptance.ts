/** What a shot came to by what was asked of it in the rig file. */
import {
  type Acceptance,
  AGREEMENT_WHY,
  type AgreementSummary,
  type AgreementVerdict,
  type AskedResult,
  type CameraAgreementSummary,
  type CameraAgreementVerdict,
  type CriterionSummary,
  type CriterionVerdict,
  type Result,
  type Shot,
  type ShotAcceptance,
  wholeVerdict,
} from '../../protocol/index.ts';
import { conformanceProbability, conformity, deriveAll, type Estimate, input } from '../metrology/index.ts';
import { referenceSphereDrag } from '../physics/index.ts';
import type { Rig } from '../rig/index.ts';
import type { AirEstimates } from './air.ts';
import { flightEstimates } from './flight-model.ts';
import type { PairReduction } from './reduction.ts';
import { toResult } from './result.ts';

type Results = Partial<Pick<Shot, 'muzzleVelocityMps' | 'targetVelocityMps' | 'mach' | 'muzzleEnergyJ' | 'targetEnergyJ'>>;

const ASKED: Readonly<Record<AskedResult, (results: Results) => Result | undefined>> = {
  'muzzle-velocity': (results) => results.muzzleVelocityMps,
  'target-velocity': (results) => results.targetVelocityMps,
  mach: (results) => results.mach,
  'muzzle-energy': (results) => results.muzzleEnergyJ,
  'target-energy': (results) => results.targetEnergyJ,
};

/** @returns undefined where the rig file asks for nothing */
export function acceptanceOf(
  rig: Rig,
  results: Results,
  { pairs, air }: { readonly pairs: readonly PairReduction[]; readonly air: AirEstimates },
): ShotAcceptance | undefined {
  const { cameraAgreement } = rig;
  if (rig.acceptance.length === 0 && !rig.agreement && cameraAgreement.length === 0) return undefined;
  const criteria = rig.acceptance.map((criterion) => judge(criterion, ASKED[criterion.of](results)));
  const agreement = rig.agreement && compare(rig.agreement, rig, pairs, air);
  const asked = {
    criteria,
    ...(agreement ? { agreement } : {}),
    ...(cameraAgreement.length > 0 ? { cameraAgreement: cameraAgreement.map(notYet) } : {}),
  };
  return { verdict: wholeVerdict(asked), ...asked };
}

/** The pipeline knows no camera's track: what came of one is told behind it. */
const notYet = (asked: CameraAgreementSummary): CameraAgreementVerdict => ({
  ...asked,
  verdict: 'undecided',
  why: 'no track of the camera was told yet',
});

function judge(criterion: CriterionSummary, result: Result | undefined): CriterionVerdict {
  if (!result) return { ...criterion, verdict: 'undecided', guardSi: 0, why: 'there is no such result: see the shot’s flags' };
  const { value, standardUncertainty, expandedUncertainty } = result;
  const band = {
    ...(criterion.fromSi === undefined ? {} : { from: criterion.fromSi }),
    ...(criterion.toSi === undefined ? {} : { to: criterion.toSi }),
  };
  const guardSi = criterion.guardFactor * expandedUncertainty;
  const verdict = conformity(value, band, guardSi);
  return {
    ...criterion,
    verdict,
    guardSi,
    value,
    expandedUncertainty,
    conformanceProbability: conformanceProbability({ value, standardUncertainty }, band),
    why: verdictWords(criterion, verdict),
  };
}

function verdictWords({ rule, guardFactor }: CriterionSummary, verdict: Acceptance): string {
  if (rule === 'plain') return verdict === 'accepted' ? 'within the band' : 'outside the band';
  const guard = `${guardFactor} times its expanded uncertainty`;
  if (verdict === 'accepted') return `within the band by more than ${guard}`;
  return verdict === 'rejected' ? `outside the band by more than ${guard}` : `nearer to the band’s end than ${guard}`;
}

/** Steps between the pairs: the drag may rise steeply between their speeds. */
const STEPS = 16;

/**
 * Both at the place of the second: the first is flown there on the published drag curve, whose own uncertainty counts, and
 * not on the drag that was fitted to both. What the two have in common (tape, air, ball) stays in common.
 */
function compare(asked: AgreementSummary, rig: Rig, pairs: readonly PairReduction[], air: AirEstimates): AgreementVerdict {
  const [one, other] = asked.pairs.map((name) => pairs.find((pair) => pair.name === name));
  if (!one || !other) {
    const missing = asked.pairs.filter((name) => !pairs.some((pair) => pair.name === name));
    return { ...asked, verdict: 'undecided', why: `pair ${missing.join(' and pair ')} gave no velocity` };
  }
  const { difference, positionM } = differenceAt(one, other, rig, air);
  const { value, expandedUncertainty } = toResult(difference, 'm/s');
  const guard = asked.guardFactor * expandedUncertainty;
  const found = conformity(Math.abs(value), { to: asked.withinMps }, guard);
  const verdict = found === 'accepted' ? 'agree' : found === 'rejected' ? 'disagree' : 'undecided';
  return { ...asked, verdict, positionM, differenceMps: value, expandedUncertaintyMps: expandedUncertainty, why: AGREEMENT_WHY[verdict] };
}

function differenceAt(
  one: PairReduction,
  other: PairReduction,
  rig: Rig,
  air: AirEstimates,
): { readonly difference: Estimate; readonly positionM: number } {
  const flight = flightEstimates(rig, air);
  const distanceM = other.positionM - one.positionM;
  const viscosityPaS = air.viscosityPaS.value;
  const curve = input('drag curve, between the pairs', '1', { value: 1, standardUncertainty: spreadBetween(one, other, rig, air) });
  const [difference] = deriveAll(
    (v, at, rho, m, d, c, w, scale) => {
      const perM = (rho * Math.PI * d * d) / (8 * m);
      let airspeed = v - w;
      const slowing = (u: number): number => {
        const speed = Math.max(1, Math.abs(u));
        const reynolds = Math.max(1e3, (rho * speed * d) / viscosityPaS);
        return -perM * scale * referenceSphereDrag({ mach: speed / c, reynolds }).dragCoefficient * u;
      };
      const step = distanceM / STEPS;
      for (let i = 0; i < STEPS; i++) airspeed += step * slowing(airspeed + (step / 2) * slowing(airspeed));
      return [airspeed + w - at];
    },
    one.velocityMps,
    other.velocityMps,
    flight.densityKgM3,
    flight.massKg,
    flight.diameterM,
    flight.speedOfSoundMps,
    flight.tailwindMps,
    curve,
  );
  return { difference: difference as Estimate, positionM: other.positionM };
}

/** Of the published curve at the mean of both speeds, relative, k = 1. */
function spreadBetween(one: PairReduction, other: PairReduction, rig: Rig, air: AirEstimates): number {
  const speed = Math.max(1, (one.velocityMps.value + other.velocityMps.value) / 2 - air.tailwindMps.value);
  const reynolds = (air.densityKgM3.value * speed * rig.projectile.diameterM.value) / air.viscosityPaS.value;
  return referenceSphereDrag({ mach: speed / air.speedOfSoundMps.value, reynolds: Math.max(1e3, reynolds) }).relativeStandardUncertainty;
}

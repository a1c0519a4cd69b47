/** A map as it is shown: its curves with their bands, each shot against the others, and what to shoot next comes from elsewhere. */
import type { MapBand, MapCurve, MapCurvePoint, MapKind, MapShotPoint, MapSource } from '../../../protocol/index.ts';
import { mixtureQuantile, type NormalPart } from '../../metrology/index.ts';
import { remainderProbability } from './components.ts';
import { fitMap } from './fit-map.ts';
import type { FittedMap, ShotScore } from './fitted-map.ts';
import type { MapGroup } from './map-kinds.ts';
import type { MapShot } from './map-shot.ts';
import { predictVelocity, type VelocityBand } from './predict.ts';
import { remarkOn } from './remark.ts';
import { SHOTS_MIN } from './shots-min.ts';
import { type SupportOf, supportOf } from './support.ts';

export interface MapOfKind {
  readonly kind: MapKind;
  /** Undefined where there is none. */
  readonly map: FittedMap | undefined;
  readonly support: SupportOf;
}

/** Fills along a curve. */
const CURVE_POINTS = 48;
const CURVES_MAX = 4;

export function mapOfKind(group: MapGroup, sources: readonly MapSource[]): MapOfKind {
  const { problem, leftOut, rigName, projectile, gas, massKg } = group;
  const map = fitMap(problem);
  const support = supportOf(map?.shotsUsed ?? [], problem.limits);
  const { ambientPressurePa, reservoirPressurePaMax } = problem.limits;
  const points = map ? pointsOf(map, new Map(sources.map((source) => [source.id, source]))) : [];
  const kind: MapKind = {
    rigName,
    projectile,
    gas,
    massKg,
    ambientPressurePa,
    reservoirPressurePaMax,
    points,
    leftOut,
    curves: map && problem.shots.length >= SHOTS_MIN ? curvesOf(map, support) : [],
    noMap: noMapOf(problem.shots.length, map),
    scatterRelative: map ? Math.sqrt(map.components.reduce((sum, { weight, scatter }) => sum + weight * scatter ** 2, 0)) : 0,
    remainderProbability: map ? remainderProbability(map.components) : 0,
    leaveOneOut: {
      rmsRelative: Math.sqrt(points.reduce((sum, { departure }) => sum + departure ** 2, 0) / Math.max(points.length, 1)),
      within: points.filter(({ tailProbability }) => tailProbability >= 0.05).length,
      of: points.length,
    },
    region: { reservoirPa: [0, reservoirPressurePaMax], barrelPa: [0, ambientPressurePa] },
    suggestions: [],
  };
  return { kind, map, support };
}

function noMapOf(shots: number, map: FittedMap | undefined): string {
  if (shots === 0) return 'No shot of this kind can be used for a map.';
  if (!map) return 'No launch of this kind explains these shots: look at their fills and velocities.';
  return shots < SHOTS_MIN ? `A map needs ${SHOTS_MIN} shots at least, and there ${shots === 1 ? 'is 1' : `are ${shots}`}.` : '';
}

function pointsOf(map: FittedMap, sources: ReadonlyMap<string, MapSource>): readonly MapShotPoint[] {
  const shots = new Map(map.problem.shots.map((shot) => [shot.id, shot]));
  const point = (score: ShotScore, isSetAside: boolean): MapShotPoint => {
    const { firing, readingUncertainty, muzzleVelocityMps, reservoirGauge } = shots.get(score.id) as MapShot;
    const gaugePa = map.problem.reservoirGauges.find(({ name }) => name === reservoirGauge)?.standardUncertaintyPa ?? 0;
    return {
      shotId: score.id,
      reservoirPressurePa: firing.reservoirPressurePa,
      reservoirStandardUncertaintyPa: Math.hypot(gaugePa, readingUncertainty.reservoirPressurePa),
      barrelPressurePa: firing.barrelPressurePa,
      velocityMps: muzzleVelocityMps.value,
      velocityStandardUncertaintyMps: muzzleVelocityMps.standardUncertainty,
      expected: bandOfScore(score.expected),
      departure: score.departure,
      score: score.score,
      tailProbability: score.tailProbability,
      isSetAside,
      remark: remarkOn(score, isSetAside, sources.get(score.id)?.flags),
    };
  };
  return [...map.scores.map((score) => point(score, false)), ...map.setAside.map((score) => point(score, true))].toSorted(
    (a, b) => a.reservoirPressurePa - b.reservoirPressurePa,
  );
}

const bandOfScore = (parts: readonly NormalPart[]): MapBand => ({
  velocityMps: Math.exp(mixtureQuantile(parts, 0.5)),
  lowMps: Math.exp(mixtureQuantile(parts, 0.025)),
  highMps: Math.exp(mixtureQuantile(parts, 0.975)),
});

function curvesOf(map: FittedMap, support: SupportOf): readonly MapCurve[] {
  const fills = map.shotsUsed.map(({ firing }) => firing.reservoirPressurePa);
  const [from, to] = [
    Math.sqrt(0.94 * Math.min(...fills)),
    Math.sqrt(Math.min(1.06 * Math.max(...fills), map.limits.reservoirPressurePaMax)),
  ];
  const along = Array.from({ length: CURVE_POINTS }, (_, i) => (from + ((to - from) * i) / (CURVE_POINTS - 1)) ** 2);
  return barrelsOf(map.shotsUsed).flatMap((barrelPressurePa) => {
    const stretches: MapCurvePoint[][] = [[]];
    for (const reservoirPressurePa of along) {
      if (support({ ...map.present, reservoirPressurePa, barrelPressurePa }).isSupported) {
        const { mean, nextShot } = predictVelocity(map, { reservoirPressurePa, barrelPressurePa });
        stretches.at(-1)?.push({ reservoirPressurePa, mean: mapBand(mean), nextShot: mapBand(nextShot) });
      } else if (stretches.at(-1)?.length !== 0) stretches.push([]);
    }
    const drawn = stretches.filter((stretch) => stretch.length > 1);
    return drawn.length === 0 ? [] : [{ barrelPressurePa, stretches: drawn }];
  });
}

/** Shots whose barrel pressures differ by less than this, of the one and in all, share a curve. */
const SAME_BARREL = { relative: 1.6, pa: 10_000 };

/** Barrel pressures that shots came in, the middle of each cluster; of more than can be shown the fullest. */
function barrelsOf(shots: readonly MapShot[]): readonly number[] {
  const clusters: number[][] = [];
  for (const pa of shots.map(({ firing }) => firing.barrelPressurePa).toSorted((a, b) => a - b)) {
    const first = clusters.at(-1)?.[0];
    if (first !== undefined && (pa < first * SAME_BARREL.relative || pa < first + SAME_BARREL.pa)) clusters.at(-1)?.push(pa);
    else clusters.push([pa]);
  }
  return clusters
    .toSorted((a, b) => b.length - a.length)
    .slice(0, CURVES_MAX)
    .map((cluster) => cluster[Math.floor(cluster.length / 2)] as number)
    .toSorted((a, b) => a - b);
}

export const mapBand = ({ velocityMps, lowMps, highMps }: VelocityBand): MapBand => ({ velocityMps, lowMps, highMps });

/** The maps of all launchers and projectiles that there are shots of, and what can be asked of them. */
import type { MapExpectation, MapFill, MapKind, MapReport, MapSession, MapSource } from '../../../protocol/index.ts';
import {
  fillFor,
  type MapOfKind,
  type MapQuestion,
  mapBand,
  mapGroups,
  mapOfKind,
  predictVelocity,
  type VelocityWanted,
} from '../map/index.ts';
import { type PlanWishes, regionOf, suggestionsFor } from './plan-for-map.ts';

export interface KindChoice {
  readonly rigName?: string | undefined;
  readonly projectile?: string | undefined;
}

export interface MapBook {
  readonly report: MapReport;
  /** Of the kind chosen; where nothing is chosen, that of the newest shot. */
  expected(question: MapQuestion & KindChoice): MapExpectation;
  fillFor(wanted: VelocityWanted & KindChoice): MapFill;
}

/** @param shots  any order */
export function mapBook(shots: readonly MapSource[], sessions: readonly MapSession[], wishes: PlanWishes = {}): MapBook {
  const { groups, without } = mapGroups(shots, sessions);
  const kinds = groups.map((group) => planned(mapOfKind(group, shots), wishes));
  const chosen = ({ rigName, projectile }: KindChoice): MapOfKind | undefined =>
    kinds.find(
      ({ kind }) => (rigName === undefined || kind.rigName === rigName) && (projectile === undefined || kind.projectile === projectile),
    );
  return {
    report: { kinds: kinds.map(({ kind }) => kind), without },
    expected: ({ rigName, projectile, ...question }) => expectedOf(chosen({ rigName, projectile }), question),
    fillFor: ({ rigName, projectile, ...wanted }) => fillOf(chosen({ rigName, projectile }), wanted),
  };
}

const NO_KIND = 'There is no shot of this launcher and projectile yet that a map can be made of.';

function expectedOf(of: MapOfKind | undefined, question: MapQuestion): MapExpectation {
  if (!of?.map || of.kind.noMap !== '') return { kind: 'refused', message: of?.kind.noMap || NO_KIND };
  const { asked, mean, nextShot, boundMps } = predictVelocity(of.map, question);
  if (asked.reservoirPressurePa > of.kind.reservoirPressurePaMax)
    return { kind: 'refused', message: 'It is above the maximum fill of the rig.' };
  const { isSupported, reason } = of.support(asked);
  if (!isSupported) return { kind: 'refused', message: `The shots do not support an answer: it would be ${reason}.` };
  return { kind: 'expected', mean: mapBand(mean), nextShot: mapBand(nextShot), boundMps, shots: of.map.shotsUsed.length };
}

function fillOf(of: MapOfKind | undefined, wanted: VelocityWanted): MapFill {
  if (!of?.map || of.kind.noMap !== '') return { kind: 'refused', message: of?.kind.noMap || NO_KIND };
  const answer = fillFor(of.map, wanted, of.support);
  if (answer.kind === 'refused') {
    const { message, shotThatHelps } = answer;
    return { kind: 'refused', message, ...(shotThatHelps ? { shotThatHelps } : {}) };
  }
  const { reservoirPressurePa, lowPa, highPa, expected } = answer;
  return { kind: 'fill', reservoirPressurePa, lowPa, highPa, mean: mapBand(expected.mean), nextShot: mapBand(expected.nextShot) };
}

function planned(of: MapOfKind, wishes: PlanWishes): MapOfKind {
  const kind: MapKind = { ...of.kind, region: regionOf(of.kind, wishes) };
  return { ...of, kind: of.map ? { ...kind, suggestions: suggestionsFor(of.map, kind.region) } : kind };
}

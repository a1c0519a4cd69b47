/** Speed against place or against time, with its 95 % band, and what each gate pair and both ends say; one shot or several. */
import type { RigSummary, Shot } from '../../protocol/index.ts';
import { DISPLAY, type DisplaySystem } from '../units/index.ts';
import type { Chart, ChartPoint, Layer } from './chart.ts';
import { type Flight, flightOf, placesOf } from './flight-of.ts';

export interface ShotToDraw {
  readonly shot: Shot;
  /** The rig that it was fired with. */
  readonly rig: RigSummary;
  /** Such as `shot 3`. */
  readonly name: string;
}

const PLACES = 41;
/** Beside the flight, as a part of it. */
const ROOM = 0.06;
const LOOKS = { line: 0, pairs: 1, ends: 2, gates: 4 } as const;

/** @returns undefined where none of them has a velocity */
export function velocityChart(shots: readonly ShotToDraw[], over: 'place' | 'time', system: DisplaySystem = 'SI'): Chart | undefined {
  const display = DISPLAY.velocity[system];
  const place = DISPLAY.length[system];
  const drawn = shots.flatMap((one, look) => {
    const flight = flightOf(one.shot, one.rig.targetPositionM);
    return flight ? [{ ...one, flight, look }] : [];
  });
  const [only] = drawn;
  if (!only) return undefined;
  const across = (flight: Flight, placeM: number): number => (over === 'place' ? place.fromSi(placeM) : 1e3 * flight.timeS(placeM));
  const curve = (flight: Flight, look: number, names: { readonly line?: string; readonly band?: string }): readonly Layer[] => {
    const places = placesOf(flight, PLACES);
    const at = (placeM: number) => ({ x: across(flight, placeM), v: flight.speedMps(placeM), half: flight.halfMps(placeM) });
    return [
      {
        kind: 'band',
        look,
        ...(names.band ? { name: names.band } : {}),
        points: places.map(at).map(({ x, v, half }) => ({ x, low: display.fromSi(v - half), high: display.fromSi(v + half) })),
      },
      {
        kind: 'line',
        look,
        ...(names.line ? { name: names.line } : {}),
        points: places.map(at).map(({ x, v }) => ({ x, y: display.fromSi(v) })),
      },
    ];
  };
  const pointAt = (flight: Flight, placeM: number, result: Shot['muzzleVelocityMps'], title: string): readonly ChartPoint[] =>
    result
      ? [
          {
            x: across(flight, placeM),
            y: display.fromSi(result.value),
            yHalf: display.differenceFromSi(result.expandedUncertainty),
            title: `${title}: ${display.fromSi(result.value).toFixed(2)} ± ${display.differenceFromSi(result.expandedUncertainty).toFixed(2)} ${display.symbol}`,
          },
        ]
      : [];
  const pairs = ({ shot, flight, name }: (typeof drawn)[number]): readonly ChartPoint[] =>
    shot.pairs.flatMap((pair) => pointAt(flight, pair.positionM, pair.velocityMps, `${name}, pair ${pair.name}`));
  const ends = ({ shot, flight, rig, name }: (typeof drawn)[number]): readonly ChartPoint[] => [
    ...pointAt(flight, 0, shot.muzzleVelocityMps, `${name}, muzzle datum`),
    ...pointAt(flight, rig.targetPositionM, shot.targetVelocityMps, `${name}, target`),
  ];
  const isAlone = drawn.length === 1;
  const reach = drawn.map(({ flight }) => [across(flight, 0), across(flight, flight.toM)] as const);
  const [from, to] = [Math.min(...reach.map(([near]) => near)), Math.max(...reach.map(([, far]) => far))];
  const span = [from - ROOM * (to - from), to + ROOM * (to - from)] as const;
  const layers: readonly Layer[] = isAlone
    ? [
        ...gateRules(only.flight, only.rig, (placeM) => across(only.flight, placeM)),
        ...curve(only.flight, LOOKS.line, { line: 'flight by all gates', band: '95 %' }),
        { kind: 'points', name: 'gate pair, ± 95 %', look: LOOKS.pairs, points: pairs(only) },
        { kind: 'points', name: 'muzzle and target, ± 95 %', look: LOOKS.ends, points: ends(only) },
      ]
    : drawn.flatMap((one): readonly Layer[] => [
        ...curve(one.flight, one.look, { line: `${one.name}, 95 %` }),
        { kind: 'points', look: one.look, points: [...pairs(one), ...ends(one)] },
      ]);
  const whose = isAlone ? titled(only.name) : `${drawn.length} shots`;
  return {
    title: `${whose}: velocity ${over === 'place' ? 'along the range' : 'over time'}`,
    description: `Velocity from the muzzle datum to the target by ${over}, with the 95 % band, of ${drawn.map(({ name }) => name).join(', ')}.`,
    x: over === 'place' ? { label: 'From the muzzle datum', unit: place.symbol, span } : { label: 'Since the firing', unit: 'ms', span },
    y: { label: 'Velocity', unit: display.symbol },
    layers,
  };
}

const titled = (name: string): string => `${name.slice(0, 1).toUpperCase()}${name.slice(1)}`;

const gateRules = ({ toM }: Flight, { gates, targetPositionM }: RigSummary, x: (placeM: number) => number): readonly Layer[] => [
  ...gates
    .filter(({ positionM }) => positionM <= toM)
    .map(({ name, positionM }): Layer => ({ kind: 'rule', axis: 'x', look: LOOKS.gates, at: x(positionM), label: name })),
  ...(toM >= targetPositionM ? [{ kind: 'rule', axis: 'x', look: LOOKS.gates, at: x(targetPositionM), label: 'target' } as const] : []),
];

/** The range on a day without gas: everything open to the air, and a ball that is dropped through pair A. */
import { dropBall } from './ball-drop.ts';
import type { InputEdge } from './gates.ts';
import { CHANNELS } from './heron.ts';
import { type Random, randomStream } from './random.ts';
import { drawGateBoardSensors } from './sensors.ts';
import { drawTrueRig } from './true-rig.ts';
import { drawWeather } from './weather.ts';
import type { Quantity, World } from './world.ts';

export interface DropWorldOptions {
  readonly seed: number;
  /** Drops after which nothing happens any more; left out: for ever. */
  readonly drops?: number;
  /** Range time of the first, s. */
  readonly firstDropAtS?: number;
}

const FIRST_DROP_S = 3;
/** Picking it up, putting it back, letting it come to rest. */
const BETWEEN_DROPS_S = 3;

export function createDropWorld({ seed, drops = Number.POSITIVE_INFINITY, firstDropAtS = FIRST_DROP_S }: DropWorldOptions): World {
  const rig = drawTrueRig(seed);
  const weather = drawWeather(seed);
  const sensors = drawGateBoardSensors(seed);
  const noise = new Map<string, Random>();
  let dropped = 0;
  let edges: readonly InputEdge[] = [];

  const trueSi = (quantity: Quantity, timeS: number): number => {
    const air = weather.at(timeS);
    switch (quantity) {
      case 'reservoirPressure':
        return 0;
      case 'barrelPressure':
      case 'airPressure':
        return air.pressurePa;
      case 'reservoirTemperature':
      case 'airTemperature':
        return air.temperatureK;
      case 'airHumidity':
        return air.relativeHumidity;
      case 'tailwind':
        return weather.tailwindMps(timeS);
    }
  };

  return {
    trueSi,
    advanceTo: (timeS) => {
      for (let at = firstDropAtS + dropped * BETWEEN_DROPS_S; at <= timeS && dropped < drops; at += BETWEEN_DROPS_S) {
        dropped += 1;
        edges = [...edges, ...dropBall({ seed, number: dropped, letGoAtS: at, rig, airDensityKgM3: weather.at(at).densityKgM3 })];
      }
      // Nothing was fired.
      return [];
    },
    takeEdges: (untilS) => {
      const taken = edges.filter(({ timeS }) => timeS <= untilS);
      edges = edges.filter(({ timeS }) => timeS > untilS);
      return taken;
    },
    sampleCounts: (channel, timeS, stream) => {
      const sensor = sensors[channel];
      const name = CHANNELS[channel]?.name;
      if (!sensor || (name !== 'reservoirPressure' && name !== 'barrelPressure'))
        throw new RangeError(`channel ${channel}, expected 0 to ${sensors.length - 1}`);
      const key = `${stream}/${channel}`;
      const random = noise.get(key) ?? randomStream(seed, `noise/${key}`);
      noise.set(key, random);
      return sensor.counts(trueSi(name, timeS), timeS, random, stream === 'burst' ? 3 : 1);
    },
  };
}

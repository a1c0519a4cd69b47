/** The range's instruments that print lines. */
import { FILL_GAUGE_LINE, STATION, WIND_METER_LINE } from '../boards/text-formats.ts';
import { createTextInstrument, type TextInstrument, type TextInstrumentOptions } from '../boards/text-instrument.ts';
import { FILL_GAUGE, INSTRUMENTS, WEATHER_BOARD, WIND_METER } from '../world/heron.ts';
import { drawSensor } from '../world/sensors.ts';
import { timedNoise } from '../world/timed-noise.ts';
import type { World } from '../world/world.ts';

export interface TextOptions {
  readonly seed: number;
  readonly world: Pick<World, 'trueSi'>;
  readonly faults?: NonNullable<TextInstrumentOptions['faults']>;
}

const PERIOD_S = { fillGauge: 0.2, windMeter: 0.25, station: 1 } as const;
/** Standard deviation of one reading. */
const NOISE = { pressurePa: 200, speedMps: 0.03 } as const;

/** @param stuckFromS  from here on it prints what it last showed */
export function createFillGauge({ seed, world, faults = {} }: TextOptions, stuckFromS = Number.POSITIVE_INFINITY): TextInstrument {
  const sensor = drawSensor(seed, INSTRUMENTS.fillGauge);
  const noise = timedNoise(seed, 'fill-gauge');
  const shownPa = (timeS: number): number =>
    sensor.shownSi(world.trueSi('reservoirPressure', timeS), timeS) + NOISE.pressurePa * noise(timeS);
  return createTextInstrument({
    seed,
    name: 'fill-gauge',
    baudRate: FILL_GAUGE.baudRate,
    when: { periodS: PERIOD_S.fillGauge },
    print: (timeS) => FILL_GAUGE_LINE(shownPa(Math.min(timeS, stuckFromS))),
    faults,
  });
}

export function createWindMeter({ seed, world, faults = {} }: TextOptions): TextInstrument {
  const sensor = drawSensor(seed, INSTRUMENTS.tailwind);
  const noise = timedNoise(seed, 'wind-meter');
  return createTextInstrument({
    seed,
    name: 'wind-meter',
    baudRate: WIND_METER.baudRate,
    when: { periodS: PERIOD_S.windMeter },
    print: (timeS) => WIND_METER_LINE(sensor.shownSi(world.trueSi('tailwind', timeS), timeS) + NOISE.speedMps * noise(timeS)),
    faults,
  });
}

/** What is on the weather board's cable when somebody has plugged in another device: a station that prints rows. */
export function createStrangeStation({ seed, world }: TextOptions): TextInstrument {
  return createTextInstrument({
    seed,
    name: 'station',
    baudRate: WEATHER_BOARD.baudRate,
    when: { periodS: PERIOD_S.station },
    print: (timeS) =>
      STATION.line({
        timeS,
        pressurePa: world.trueSi('airPressure', timeS),
        temperatureK: world.trueSi('airTemperature', timeS),
        relativeHumidity: world.trueSi('airHumidity', timeS),
      }),
  });
}

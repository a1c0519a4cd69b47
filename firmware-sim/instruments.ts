/** What stands on the range beside the gate board: a weather board that speaks Firmata, and a gauge that prints lines. */
import { fallsSilent } from './boards/falls-silent.ts';
import { type AirSample, createBme280, createFirmataBoard } from './boards/firmata-board/index.ts';
import { GAUGE } from './boards/text-formats.ts';
import { createTextInstrument } from './boards/text-instrument.ts';
import type { LineEnd } from './wires/memory.ts';
import { HERON } from './world/heron.ts';
import type { World } from './world/world.ts';

/** `silent-weather`: the weather board hangs. `garbled-text`: garbage and cut lines come from the gauge. */
export const INSTRUMENT_FAULTS = ['silent-weather', 'garbled-text'] as const;
export type InstrumentFault = (typeof INSTRUMENT_FAULTS)[number];

/** Range time: some readings have come by then. */
export const WEATHER_SILENT_FROM_S = 8;
const GARBLED = { garbage: 0.2, truncated: 0.2 } as const;
const GAUGE_PERIOD_S = 0.2;

type Readable = Pick<World, 'readSi'>;

/** The air as the weather sensor shows it. Must be asked in the order of time. */
export function shownAir(world: Readable, timeS: number): AirSample {
  return {
    temperatureK: world.readSi('airTemperature', timeS),
    pressurePa: world.readSi('airPressure', timeS),
    // No such sensor shows more than saturation.
    relativeHumidity: Math.min(Math.max(world.readSi('airHumidity', timeS), 0), 1),
  };
}

export function createWeatherBoard(world: Readable, faults: readonly InstrumentFault[]): LineEnd {
  const sensor = createBme280({ air: (timeS) => shownAir(world, timeS), address: HERON.bme280Address });
  const board = createFirmataBoard({ firmwareName: 'ColdSikeWeather', baudRate: HERON.weatherBaudRate, i2cDevices: [sensor] });
  return faults.includes('silent-weather') ? fallsSilent(board, WEATHER_SILENT_FROM_S) : board;
}

export function createFillGauge(world: Readable, seed: number, faults: readonly InstrumentFault[]): LineEnd {
  return createTextInstrument({
    seed,
    name: 'fill-gauge',
    baudRate: HERON.gaugeBaudRate,
    print: (timeS) => GAUGE.line(world.readSi('fillGauge', timeS)),
    when: { periodS: GAUGE_PERIOD_S },
    faults: faults.includes('garbled-text') ? GARBLED : {},
  });
}

/** The weather board: a BME280 in the open, a vacuum gauge on the pump line, a thermistor in the reservoir's gas. */
import { type AirSample, createBme280, createFirmataBoard, type FirmataBoard } from '../boards/firmata-board/index.ts';
import { INSTRUMENTS, WEATHER_BOARD } from '../world/heron.ts';
import { drawSensor } from '../world/sensors.ts';
import { timedNoise } from '../world/timed-noise.ts';
import type { World } from '../world/world.ts';
import { sunned } from './sun.ts';

export interface WeatherBoardOptions {
  readonly seed: number;
  readonly world: Pick<World, 'trueSi'>;
  readonly paceFactor: number;
  /** When the sun comes round to the sensor; undefined: it stays in the shade. */
  readonly sunFromS: number | undefined;
}

/** Standard deviation of one reading. */
const NOISE = { temperatureK: 0.006, pressurePa: 0.8, relativeHumidity: 0.0004, volts: 0.002 } as const;
/** The valve before the vacuum gauge shuts by itself here. */
const SHUTS_PA = 115e3;

export function createWeatherBoard({ seed, world, paceFactor, sunFromS }: WeatherBoardOptions): FirmataBoard {
  const { trueSi } = world;
  const noise = (name: string) => timedNoise(seed, `weather-board/${name}`);
  const [warm, press, damp, volts0, volts1] = [noise('temperature'), noise('pressure'), noise('humidity'), noise('A0'), noise('A1')];
  const sensors = {
    temperature: drawSensor(seed, INSTRUMENTS.airTemperature),
    pressure: drawSensor(seed, INSTRUMENTS.airPressure),
    humidity: drawSensor(seed, INSTRUMENTS.airHumidity),
    vacuum: drawSensor(seed, INSTRUMENTS.barrelVacuum),
    thermistor: drawSensor(seed, INSTRUMENTS.reservoirTemperature),
  };

  const shownAir = (timeS: number): AirSample => {
    const air = {
      temperatureK: trueSi('airTemperature', timeS),
      pressurePa: trueSi('airPressure', timeS),
      relativeHumidity: trueSi('airHumidity', timeS),
    };
    const inHousing = sunFromS === undefined ? air : sunned(air, (timeS - sunFromS) * paceFactor);
    const humidity = sensors.humidity.shownSi(inHousing.relativeHumidity, timeS) + NOISE.relativeHumidity * damp(timeS);
    return {
      temperatureK: sensors.temperature.shownSi(inHousing.temperatureK, timeS) + NOISE.temperatureK * warm(timeS),
      pressurePa: sensors.pressure.shownSi(inHousing.pressurePa, timeS) + NOISE.pressurePa * press(timeS),
      relativeHumidity: Math.min(Math.max(humidity, 0), 1),
    };
  };

  const { vacuum, thermistor, referenceVolts } = WEATHER_BOARD;
  const vacuumVolts = (timeS: number): number => {
    const shownPa = sensors.vacuum.shownSi(Math.min(trueSi('barrelPressure', timeS), SHUTS_PA), timeS);
    const share = shownPa / INSTRUMENTS.barrelVacuum.siHigh;
    return vacuum.voltsLow + share * (vacuum.voltsHigh - vacuum.voltsLow) + NOISE.volts * volts0(timeS);
  };
  const thermistorVolts = (timeS: number): number => {
    const shownK = sensors.thermistor.shownSi(trueSi('reservoirTemperature', timeS), timeS);
    const ohm = thermistor.r25Ohm * Math.exp(thermistor.betaK * (1 / shownK - 1 / 298.15));
    return (referenceVolts * ohm) / (ohm + thermistor.pullUpOhm) + NOISE.volts * volts1(timeS);
  };

  return createFirmataBoard({
    firmwareName: 'ColdSikeWeather.ino',
    baudRate: WEATHER_BOARD.baudRate,
    referenceVolts,
    analogBits: WEATHER_BOARD.analogBits,
    analogVolts: [vacuumVolts, thermistorVolts],
    i2cDevices: [createBme280({ air: shownAir, address: WEATHER_BOARD.bme280Address })],
  });
}

/**
 * A weather sensor on the two-wire bus: register file, calibration words, and raw counts of the air around it.
 * Source of the register map and the times: BME280 data sheet, sections 5.3, 5.4 and 9.1 (from memory).
 */
import { type Bme280Calibration, EXAMPLE_CALIBRATION, storeCalibration } from './bme280-calibration.ts';
import { type AirSample, type RawCounts, rawCountsOf } from './bme280-raw.ts';
import type { I2cDevice } from './i2c-bus.ts';

export interface Bme280Options {
  readonly air: (timeS: number) => AirSample;
  readonly address?: 0x76 | 0x77;
  readonly calibration?: Bme280Calibration;
  /** A BMP280 looks the same and has no humidity. */
  readonly chip?: 'bme280' | 'bmp280';
  /** After a reset every register reads zero for so long. */
  readonly resetS?: number;
  /** False: nobody answers at the address. */
  readonly presentAt?: (timeS: number) => boolean;
  /** From here on it shows the air of this moment for ever. */
  readonly stuckFromS?: number;
}

const REGISTER = { chipId: 0xd0, reset: 0xe0, ctrlHum: 0xf2, status: 0xf3, ctrlMeas: 0xf4, config: 0xf5, data: 0xf7 } as const;
const RESET_WORD = 0xb6;
const MEASURING = 0x08;
const OVERSAMPLING = [0, 1, 2, 4, 8, 16, 16, 16] as const;
const STANDBY_S = [0.0005, 0.0625, 0.125, 0.25, 0.5, 1, 0.01, 0.02] as const;
/** What a quantity reads that was skipped, or never measured. */
const SKIPPED: RawCounts = { temperature: 0x80000, pressure: 0x80000, humidity: 0x8000 };

export function createBme280(options: Bme280Options): I2cDevice {
  const { air, address = 0x76, calibration = EXAMPLE_CALIBRATION, chip = 'bme280', resetS = 0.002, presentAt = () => true } = options;
  const hasHumidity = chip === 'bme280';
  const stuckFromS = options.stuckFromS ?? Number.POSITIVE_INFINITY;
  const registers = new Uint8Array(256);
  let pointer = 0;
  let awakeAtS = 0;
  /** End of the running measurement; infinite while asleep. */
  let doneAtS = Number.POSITIVE_INFINITY;

  const storeData = (raw: RawCounts): void => {
    const { pressure, temperature, humidity } = raw;
    [pressure, temperature].forEach((counts, index) => {
      registers.set([counts >> 12, (counts >> 4) & 0xff, (counts & 0xf) << 4], REGISTER.data + 3 * index);
    });
    registers.set([humidity >> 8, humidity & 0xff], REGISTER.data + 6);
  };

  const reset = (timeS: number): void => {
    registers.fill(0);
    storeCalibration(registers, calibration, hasHumidity);
    registers[REGISTER.chipId] = hasHumidity ? 0x60 : 0x58;
    storeData(SKIPPED);
    awakeAtS = timeS + resetS;
    doneAtS = Number.POSITIVE_INFINITY;
  };

  const control = (): { mode: number; t: number; p: number; h: number } => {
    const measure = registers[REGISTER.ctrlMeas] as number;
    const oversampling = (bits: number): number => OVERSAMPLING[bits & 7] as number;
    const h = hasHumidity ? oversampling(registers[REGISTER.ctrlHum] as number) : 0;
    return { mode: measure & 3, t: oversampling(measure >> 5), p: oversampling(measure >> 2), h };
  };

  /** Longest time of one measurement. */
  const measuringS = (): number => {
    const { t, p, h } = control();
    return (1.25 + 2.3 * t + (p > 0 ? 2.3 * p + 0.575 : 0) + (h > 0 ? 2.3 * h + 0.575 : 0)) / 1000;
  };

  /** Finishes whatever measurements have come to their end. */
  const advance = (timeS: number): void => {
    if (doneAtS > timeS) return;
    const { mode, t, p, h } = control();
    if (mode === 3) {
      const periodS = measuringS() + (STANDBY_S[(registers[REGISTER.config] as number) >> 5] as number);
      doneAtS += Math.floor((timeS - doneAtS) / periodS) * periodS;
    }
    const raw = rawCountsOf(air(Math.min(doneAtS, stuckFromS)), calibration);
    storeData({
      temperature: t > 0 ? raw.temperature : SKIPPED.temperature,
      pressure: p > 0 ? raw.pressure : SKIPPED.pressure,
      humidity: h > 0 ? raw.humidity : SKIPPED.humidity,
    });
    if (mode === 3) {
      doneAtS += measuringS() + (STANDBY_S[(registers[REGISTER.config] as number) >> 5] as number);
    } else {
      registers[REGISTER.ctrlMeas] = (registers[REGISTER.ctrlMeas] as number) & 0xfc;
      doneAtS = Number.POSITIVE_INFINITY;
    }
  };

  const store = (register: number, value: number, timeS: number): void => {
    if (register === REGISTER.reset && value === RESET_WORD) reset(timeS);
    else if (register === REGISTER.config || (register === REGISTER.ctrlHum && hasHumidity)) registers[register] = value;
    else if (register === REGISTER.ctrlMeas) {
      registers[register] = value;
      doneAtS = (value & 3) === 0 ? Number.POSITIVE_INFINITY : timeS + measuringS();
    }
  };

  reset(Number.NEGATIVE_INFINITY);
  return {
    address,
    isPresent: presentAt,
    write: (bytes, timeS) => {
      if (timeS < awakeAtS) return;
      advance(timeS);
      pointer = bytes[0] ?? pointer;
      // Written registers go in pairs: where, what.
      for (let i = 0; i + 1 < bytes.length; i += 2) store(bytes[i] as number, bytes[i + 1] as number, timeS);
    },
    read: (count, timeS) => {
      if (timeS < awakeAtS) return new Uint8Array(count);
      advance(timeS);
      registers[REGISTER.status] = doneAtS < Number.POSITIVE_INFINITY && control().mode !== 3 ? MEASURING : 0;
      const bytes = Uint8Array.from({ length: count }, (_, i) => registers[(pointer + i) & 0xff] as number);
      pointer = (pointer + count) & 0xff;
      return bytes;
    },
  };
}

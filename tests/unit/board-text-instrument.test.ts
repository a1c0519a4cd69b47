/** The simulated text instruments, through the same line as a board: what is sound is read to the last digit, what is spoilt is refused. */
import { expect, test } from 'vitest';
import { ANEMOMETER, GAUGE, STATION } from '../../firmware-sim/boards/text-formats.ts';
import { createTextInstrument, type TextInstrumentOptions } from '../../firmware-sim/boards/text-instrument.ts';
import { createMemoryLine } from '../../firmware-sim/wires/memory.ts';
import { countLine, NO_LINES } from '../../host/pipeline/index.ts';
import { textReader } from '../../host/rig/index.ts';
import { layoutOf } from '../support/layout-of.ts';

const readStation = textReader(layoutOf(STATION));
const readGauge = textReader(layoutOf(GAUGE));
const readWind = textReader(layoutOf(ANEMOMETER));

const GAUGE_LINE: TextInstrumentOptions = {
  seed: 11,
  name: 'gauge',
  baudRate: 9600,
  print: (timeS) => GAUGE.line(1e5 * timeS),
  when: { periodS: 0.1 },
};

function heard(options: TextInstrumentOptions, untilS: number) {
  const end = createTextInstrument(options);
  const line = createMemoryLine({ seed: options.seed, end });
  const chunks = line.advanceTo(untilS);
  const bytes = Buffer.concat(chunks.map((chunk) => chunk.bytes));
  return { end, bytes, chunks };
}

test('each instrument prints what its reading gives back', () => {
  const station = readStation(Buffer.from(STATION.line({ timeS: 12, pressurePa: 100_231, temperatureK: 283, relativeHumidity: 0.8 })));
  expect(station).toEqual({ ok: true, values: { pressure: 1002.31, temperature: 9.85, humidity: 80 }, unreadable: [] });
  expect(readGauge(Buffer.from(GAUGE.line(321_040)))).toEqual({ ok: true, values: { pressure: 3.2104 }, unreadable: [] });
  const wind = readWind(Buffer.from(ANEMOMETER.line({ speedMps: 3.44, bearingDeg: -15 })));
  expect(wind).toEqual({ ok: true, values: { speed: 3.4, bearing: 345 }, unreadable: [] });
});

test('prints by its own period, at no more than its line carries, and the same again from the same seed', () => {
  const { bytes, chunks, end } = heard(GAUGE_LINE, 10);
  const lines = bytes.toString('latin1').split('\r\n').filter(Boolean);
  // The hundredth has not come through yet.
  expect(lines.length).toBe(99);
  expect(lines[0]).toBe('P=0.1000 bar');
  expect(end.soundLines).toBe(100);
  expect(chunks.every(({ timeS }) => timeS <= 10)).toBe(true);
  expect(heard(GAUGE_LINE, 10).bytes.equals(bytes)).toBe(true);
});

test('garbage, cut and missing lines are counted for what they are, and every sound one is read', () => {
  for (let seed = 1; seed <= 20; seed += 1) {
    const options = { ...GAUGE_LINE, seed, faults: { garbage: 0.05, truncated: 0.05, missed: 0.05 } };
    const { bytes, end } = heard(options, 101);
    let counters = NO_LINES;
    const values: number[] = [];
    for (const [i, text] of bytes
      .toString('latin1')
      .split(/[\r\n]+/)
      .entries()) {
      const line = Buffer.from(text, 'latin1');
      const result = readGauge(line);
      const why = !result.ok ? result.why : result.unreadable.length > 0 ? 'not-a-number' : undefined;
      counters = countLine(counters, { atNs: i * 1e8, bytes: line, why });
      if (result.ok && result.values.pressure !== undefined) values.push(result.values.pressure);
    }
    // The newest may still be on the line.
    expect(end.soundLines - values.length, `seed ${seed}`).toBeLessThanOrEqual(1);
    expect(end.soundLines - values.length, `seed ${seed}`).toBeGreaterThanOrEqual(0);
    expect(values, `seed ${seed}`).toEqual([...values].sort((a, b) => a - b));
    expect(counters.lines - (counters.failures['no-match'] ?? 0), `seed ${seed}`).toBe(values.length);
    expect(counters.failures['no-match'], `seed ${seed}`).toBeGreaterThanOrEqual(5);
  }
});

test('answers its question, once each, and not another', () => {
  const end = createTextInstrument({ ...GAUGE_LINE, when: { poll: 'READ?', answersAfterS: 0.02 }, lineEnding: '\r' });
  end.receive(Buffer.from('READ?\r\nHELLO\r\nREAD'), 1);
  end.receive(Buffer.from('?\r\n'), 2);
  end.receive(Buffer.from('READ?\r\n'.repeat(50)), 3);
  const text = Buffer.concat(end.advanceTo(10).map((chunk) => chunk.bytes)).toString('latin1');
  expect(text).toBe(['P=1.0200 bar', 'P=2.0200 bar', ...Array(4).fill('P=3.0200 bar'), ''].join('\r'));
});

/** What each kind of link makes of its board's bytes, in the plainest way and in virtual time. */
import type { TimedBytes } from '../../firmware-sim/boards/gate-board.ts';
import type { BoardName } from '../../firmware-sim/range.ts';
import { WEATHER_BOARD } from '../../firmware-sim/world/heron.ts';
import type { PosternRecord } from '../../protocol/index.ts';
import { VirtualFirmata } from './virtual-firmata.ts';

export interface VirtualLink {
  /** What is to be said to the board by now, if anything; a gate board is spoken to by the pipeline alone. */
  due(nowS: number): Uint8Array | undefined;
  take(chunk: TimedBytes): readonly PosternRecord[];
  /** What stood half on the line is gone. */
  forget(): void;
}

const toNs = (timeS: number): number => Math.round(timeS * 1e9);

export function lineLink(source: BoardName, ending: RegExp): VirtualLink {
  let pending = '';
  return {
    due: () => undefined,
    take: ({ timeS, bytes }) => {
      const lines = (pending + Buffer.from(bytes).toString('latin1')).split(ending);
      pending = lines.pop() ?? '';
      const whole = lines.filter(Boolean);
      return whole.map((text) => ({ kind: 'line', atNs: toNs(timeS), source, bytes: Buffer.from(text, 'latin1') }));
    },
    forget: () => {
      pending = '';
    },
  };
}

export function firmataLink(source: BoardName): VirtualLink {
  const { vacuum, thermistor, bme280Address, samplingMs } = WEATHER_BOARD;
  const host = new VirtualFirmata({ pins: [vacuum.pin, thermistor.pin], address: bme280Address, samplingMs });
  let isOpened = false;
  return {
    due: (nowS) => {
      if (isOpened) return host.due(nowS);
      isOpened = true;
      return host.opening();
    },
    take: ({ timeS, bytes }) => host.take(bytes).map((value) => ({ kind: 'reading', atNs: toNs(timeS), source, value })),
    forget: () => undefined,
  };
}

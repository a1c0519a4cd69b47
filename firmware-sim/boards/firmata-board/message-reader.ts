/** Host bytes to Firmata messages, in bounded memory. How the bytes were cut never matters. */
export type HostMessage =
  | { readonly kind: 'version' }
  | { readonly kind: 'reset' }
  | { readonly kind: 'report-analog'; readonly channel: number; readonly on: boolean }
  | { readonly kind: 'sysex'; readonly command: number; readonly data: readonly number[] };

export interface MessageReader {
  push(bytes: Uint8Array): readonly HostMessage[];
}

/** Of one system-exclusive message, the command included; a longer one is passed over, as the Arduino library does (MAX_DATA_BYTES). */
export const SYSEX_BYTES_MAX = 64;

const SYSEX_START = 0xf0;
const SYSEX_END = 0xf7;

/** Data bytes after a command byte; what is not listed has none and means nothing here. */
function dataBytesOf(command: number): number {
  const group = command < 0xf0 ? command & 0xf0 : command;
  if (group === 0xc0 || group === 0xd0) return 1;
  return group === 0xe0 || group === 0x90 || group === 0xf4 || group === 0xf5 ? 2 : 0;
}

export function createMessageReader(): MessageReader {
  let command = 0;
  let data: number[] = [];
  let wanted = 0;

  const finish = (): HostMessage | undefined => {
    if ((command & 0xf0) === 0xc0) return { kind: 'report-analog', channel: command & 0x0f, on: data[0] !== 0 };
    return undefined;
  };

  const take = (byte: number): HostMessage | undefined => {
    if (byte === SYSEX_END && command === SYSEX_START) {
      const [first, ...rest] = data;
      const isWhole = data.length <= SYSEX_BYTES_MAX;
      [command, data] = [0, []];
      return first === undefined || !isWhole ? undefined : { kind: 'sysex', command: first, data: rest };
    }
    if (byte >= 0x80) {
      [command, data, wanted] = [byte, [], dataBytesOf(byte)];
      return byte === 0xf9 ? { kind: 'version' } : byte === 0xff ? { kind: 'reset' } : undefined;
    }
    if (command === SYSEX_START) {
      if (data.length <= SYSEX_BYTES_MAX) data.push(byte);
      return undefined;
    }
    if (wanted === 0) return undefined;
    data.push(byte);
    wanted -= 1;
    return wanted === 0 ? finish() : undefined;
  };

  return { push: (bytes) => [...bytes].flatMap((byte) => take(byte) ?? []) };
}

/** From the rig file's boards to the links that read them. */
import { dirname, isAbsolute, relative, resolve } from 'node:path';
import type { HostMessage } from '../../../protocol/index.ts';
import { FirmataLink, GateBoardLink, type LinkPorts, TextLink } from '../../links/index.ts';
import type { BoardSetup, Rig } from '../../rig/index.ts';

export interface BoardLink {
  start(): void;
  /** Only a gate board is ever sent anything. */
  send?(message: HostMessage): void;
  close(): Promise<void>;
}

export function linkTo(board: BoardSetup, { rig, rigFile }: { readonly rig: Rig; readonly rigFile: string }, ports: LinkPorts): BoardLink {
  const { name, baudRate, serialNumber } = board;
  const path = board.path === undefined ? {} : { path: shortPath(resolve(dirname(rigFile), board.path)) };
  const device = { name, baudRate, ...path, ...(serialNumber === undefined ? {} : { serialNumber }) };
  switch (board.kind) {
    case 'gate-board':
      return new GateBoardLink({ ...device, ...(board.boardId === undefined ? {} : { boardId: board.boardId }) }, ports);
    case 'text': {
      const poll = board.poll ? { poll: { text: board.poll.text, everyMs: 1e3 * board.poll.everyS } } : {};
      return new TextLink({ ...device, ...poll }, ports);
    }
    case 'firmata':
      return new FirmataLink(
        {
          ...device,
          analogPins: analogPinsOf(rig, name),
          samplingIntervalMs: 1e3 * board.samplingIntervalS,
          analogBits: board.analogBits,
          ...(board.bme280Address === undefined ? {} : { bme280: board.bme280Address }),
        },
        ports,
      );
  }
}

/** Of its pins, those that a channel reads. */
function analogPinsOf(rig: Rig, board: string): readonly number[] {
  return rig.channels.flatMap(({ board: on, source }) => {
    const pin = on === board && source.kind === 'name' ? /^A(\d+)$/.exec(source.reads)?.[1] : undefined;
    return pin === undefined ? [] : [Number(pin)];
  });
}

/** Below the working folder, without it: shorter on a screen, and no one's home folder in a journal. */
export function shortPath(path: string): string {
  const below = relative(process.cwd(), path);
  return below === '' || below.startsWith('..') || isAbsolute(below) ? path : below;
}

/** The ports of a machine, as far as links need them. The simulation puts ports in virtual time in their place. */
import { SerialPort } from 'serialport';
import { type ListPorts, listUsbPorts } from './list-ports.ts';
import { identityOf, realPathOf } from './port-identity.ts';
import { readAtOnce } from './read-at-once.ts';

export interface PortSystem {
  readonly list: ListPorts;
  /** What stands at a path now: another device, or the same one plugged in anew, gives another text; undefined: no file is there. */
  identityOf(path: string): string | undefined;
  /** Two names of one port give the same. */
  realPathOf(path: string): string;
  /** A port that is not open yet. */
  create(setup: { readonly path: string; readonly baudRate: number }): SerialPort;
}

export const MACHINE_PORTS: PortSystem = {
  list: listUsbPorts,
  identityOf,
  realPathOf,
  create: (setup) => {
    const port = new SerialPort({ ...setup, autoOpen: false });
    port.once('open', () => readAtOnce(port));
    return port;
  },
};

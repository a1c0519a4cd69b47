/** How the ports of this machine are listed; tests put pseudo-terminals in its place, which no system lists. */
import { SerialPort } from 'serialport';

export interface ListedPort {
  readonly path: string;
  readonly serialNumber?: string;
}

/** @throws Error (rejects) where the system cannot list them, as without udevadm */
export type ListPorts = () => Promise<readonly ListedPort[]>;

/** Only USB devices: one on a port that is soldered in does not come back under another path. */
export const listUsbPorts: ListPorts = async () => {
  const ports = await SerialPort.list();
  return ports
    .filter(({ vendorId, serialNumber }) => vendorId !== undefined || serialNumber !== undefined)
    .map(({ path, serialNumber }) => ({ path, ...(serialNumber === undefined ? {} : { serialNumber }) }));
};

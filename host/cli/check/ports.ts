import { SerialPort } from 'serialport';

export interface PortFound {
  readonly path: string;
  /** What the operating system knows of it: maker and serial number; may be empty. */
  readonly detail: string;
  /** Of its USB device. */
  readonly serialNumber?: string;
}

export type PortsFound = { readonly ok: true; readonly ports: readonly PortFound[] } | { readonly ok: false; readonly why: string };

/** The serial ports of this machine. A system that cannot list them (no udevadm, say) gives the reason. */
export async function listPorts(): Promise<PortsFound> {
  try {
    const ports = await SerialPort.list();
    return {
      ok: true,
      ports: ports.map(({ path, manufacturer, serialNumber }) => ({
        path,
        detail: [manufacturer, serialNumber].filter((part) => part !== undefined && part !== '').join(', '),
        ...(serialNumber ? { serialNumber } : {}),
      })),
    };
  } catch (error) {
    return { ok: false, why: error instanceof Error ? error.message : String(error) };
  }
}

/**
 * Reading of a serial port on Linux and macOS without detours. The serial library asks first and waits then: each arrival
 * costs it two reads by way of the thread pool, one of them refused, which with ten instruments is a third of all that
 * the host does. Here the port is waited for and then read once, at once: it never blocks.
 *
 * It also knows the end: a port that was pulled at a bad moment gives "no bytes" for ever, and the library asks for ever.
 */
import fs from 'node:fs';
import type { SerialPort } from 'serialport';

type Binding = NonNullable<SerialPort['port']>;
type PolledBinding = Extract<Binding, { readonly poller: unknown }>;

/** To be called when the port has opened, before anything is read from it. Does nothing where the system has no such ports. */
export function readAtOnce(port: SerialPort): void {
  const binding = port.port;
  if (binding === undefined || !('poller' in binding)) return;
  binding.read = async (buffer, offset, length) => {
    for (;;) {
      await isReadable(binding);
      const bytesRead = readNow(binding, { buffer, offset, length });
      if (bytesRead > 0) return { bytesRead, buffer };
    }
  };
}

/** @throws (rejects) where the port was closed, with `canceled`, or is gone */
function isReadable({ poller }: PolledBinding): Promise<void> {
  return new Promise((resolve, reject) => {
    poller.once('readable', (error: Error | null) => (error ? reject(error) : resolve()));
  });
}

/**
 * @returns 0 where there was nothing after all
 * @throws Error where the port is gone
 */
function readNow({ fd }: PolledBinding, { buffer, offset, length }: { buffer: Buffer; offset: number; length: number }): number {
  if (fd === null) throw Object.assign(new Error('the port is not open'), { canceled: true });
  try {
    const bytesRead = fs.readSync(fd, buffer, offset, length, null);
    if (bytesRead === 0) throw new Error('it gives no more bytes');
    return bytesRead;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'EAGAIN' || code === 'EWOULDBLOCK' || code === 'EINTR') return 0;
    throw error;
  }
}

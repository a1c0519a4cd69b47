/**
 * A wire between a sender and a server that can be cut: what is under way is lost, and nobody gets through until it is mended.
 * The sender's end is reset, the server's ends early: VictoriaMetrics takes the torn last line of a request that was
 * reset for a whole one, which no sender can help (docs/time-series.md says so, and the sender warns of it).
 */
import { type AddressInfo, connect, createServer, type Socket } from 'node:net';

export interface CutWire {
  readonly url: string;
  cut(): void;
  mend(): void;
  close(): Promise<void>;
}

export async function cutWire(to: string): Promise<CutWire> {
  const { hostname, port } = new URL(to);
  const ends = { near: new Set<Socket>(), far: new Set<Socket>() };
  let isCut = false;
  const keep = (socket: Socket, among: Set<Socket>): void => {
    among.add(socket);
    socket.on('error', () => undefined);
    socket.once('close', () => among.delete(socket));
  };
  const server = createServer((near) => {
    keep(near, ends.near);
    if (isCut) {
      near.resetAndDestroy();
      return;
    }
    const far = connect(Number(port), hostname);
    keep(far, ends.far);
    near.pipe(far).pipe(near);
    near.once('close', () => far.destroy());
    far.once('close', () => near.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const destroyAll = (): void => {
    for (const socket of ends.far) socket.destroy();
    for (const socket of ends.near) socket.resetAndDestroy();
  };
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    cut: () => {
      isCut = true;
      destroyAll();
    },
    mend: () => {
      isCut = false;
    },
    close: async () => {
      destroyAll();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

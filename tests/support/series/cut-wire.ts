/** A wire between a sender and a server that can be cut: what is under way is lost, and nobody gets through until it is mended. */
import { type AddressInfo, connect, createServer, type Socket } from 'node:net';

export interface CutWire {
  readonly url: string;
  cut(): void;
  mend(): void;
  close(): Promise<void>;
}

export async function cutWire(to: string): Promise<CutWire> {
  const { hostname, port } = new URL(to);
  const sockets = new Set<Socket>();
  let isCut = false;
  const keep = (socket: Socket): void => {
    sockets.add(socket);
    socket.on('error', () => undefined);
    socket.once('close', () => sockets.delete(socket));
  };
  const server = createServer((near) => {
    keep(near);
    if (isCut) {
      near.resetAndDestroy();
      return;
    }
    const far = connect(Number(port), hostname);
    keep(far);
    near.pipe(far).pipe(near);
    near.once('close', () => far.destroy());
    far.once('close', () => near.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const destroyAll = (): void => {
    for (const socket of sockets) socket.resetAndDestroy();
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

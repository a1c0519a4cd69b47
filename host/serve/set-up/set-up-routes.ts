/** What the Set-up page asks for. Reads only; who is connected, and what lies on this computer's disk, is the crew's alone. */
import type { FastifyInstance } from 'fastify';
import type { DoorsState } from '../../../protocol/index.ts';
import type { LiveClients } from '../live-clients.ts';
import { refuse } from '../refuse.ts';
import type { RigFileDesk } from './rig-file-desk.ts';

export interface SetUpParts {
  readonly clients: LiveClients;
  readonly doors: DoorsState;
  readonly rigFile: RigFileDesk | undefined;
}

const CREW = { config: { access: 'crew' } } as const;

export function addSetUpRoutes(app: FastifyInstance, { clients, doors, rigFile }: SetUpParts): void {
  app.get('/api/clients', CREW, () => clients.list());
  app.get('/api/doors', () => doors);
  app.get('/api/rig-file', (_request, reply) => {
    const inForce = rigFile?.inForce();
    return inForce ? reply.send(inForce) : refuse(reply, 404, 'no-rig-file', 'no rig file has been read yet');
  });
  app.get('/api/rig-file/check', CREW, async (_request, reply) => {
    if (!rigFile?.check) return refuse(reply, 404, 'not-live', 'the rig file of a replay lies in its journal');
    return await rigFile.check();
  });
}

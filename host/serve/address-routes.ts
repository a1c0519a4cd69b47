/** By which addresses others reach this host, and the key they need to look: for the crew's page, which shows them as a code to scan. */
import type { FastifyInstance } from 'fastify';

export interface AddressParts {
  /** As others in this computer's networks reach it; empty where it listens to this computer only. */
  readonly addresses: () => readonly string[];
  readonly lookToken: string | undefined;
}

/** Whoever may look holds the key to look already, or the crew's, which is more. */
export function addAddressRoutes(app: FastifyInstance, { addresses, lookToken }: AddressParts): void {
  app.get('/api/addresses', () => ({ addresses: addresses(), ...(lookToken === undefined ? {} : { look: lookToken }) }));
}

import Fastify from 'fastify';

/** Logs what failed. A line a request would be thousands an hour from a page that asks, or from whoever scrapes the metrics. */
export class TroubleLog extends Fastify.LogController {
  override incomingRequest(): void {
    // Not worth a line.
  }

  override routeNotFound(): void {
    // Nor is an address that does not exist, and whatever stands in it.
  }

  override requestCompleted(...[error, request, reply, metadata]: Parameters<Fastify.LogController['requestCompleted']>): void {
    if (error) super.requestCompleted(error, request, reply, metadata);
  }
}

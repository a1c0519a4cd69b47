/* What the host says: read strictly, or refused and counted. */
#pragma once
#include "serial.h"

typedef enum { HOST_BAD, HOST_WHO, HOST_PING, HOST_RESEND, HOST_ACK } host_kind_t;

typedef struct {
  host_kind_t kind;
  const char *token; /* PING: 16 characters, in the line */
  uint32_t boot_id;  /* RESEND, ACK */
  uint32_t from_seq; /* RESEND */
  uint32_t to_seq;   /* RESEND, ACK */
} host_message_t;

/* The line must not be empty. */
host_message_t host_read(const host_line_t *line);

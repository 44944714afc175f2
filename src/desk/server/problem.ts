/** What went wrong, as RFC 9457 has it: what, and how to put it right. */
import { archives, DeclarationError, IdentityError, IntakeError, neutralise, SealError } from '../../index.ts'
import type { Problem } from '../contract.ts'

export const problemMedia = 'application/problem+json'

/** Thrown by whatever answers a request; the answer is its problem. */
export class ProblemError extends Error {
  override name = 'ProblemError'
  readonly problem: Problem

  constructor(status: number, title: string, { detail, mend }: { detail?: string; mend?: string } = {}) {
    super(title)
    this.problem = {
      type: 'about:blank',
      title,
      status,
      ...(detail === undefined ? {} : { detail }),
      ...(mend === undefined ? {} : { mend }),
    }
  }
}

const archiveStatus: Partial<Record<archives.ArchiveErrorCode, number>> = {
  unknown: 404,
  held: 409,
  busy: 503,
  full: 507,
  'read-only': 503,
  'in-the-way': 503,
  damaged: 500,
}

/** What whoever asked is told of an error; a fault of the program itself is told without its insides. */
export function problemOf(error: unknown): Problem {
  if (error instanceof ProblemError) return error.problem
  if (error instanceof archives.ArchiveError)
    return named(error.code, archiveStatus[error.code] ?? 409, error.message, error.mend)
  if (error instanceof IntakeError) return named(error.code, 422, error.message, error.mend)
  if (error instanceof IdentityError) return named(error.code, 422, error.message, error.mend)
  if (error instanceof SealError) return named('seal', 422, error.message, error.mend)
  if (error instanceof DeclarationError)
    return {
      ...named('packet-yaml', 422, 'packet.yaml cannot be used', 'Correct the lines named, and hand it over again.'),
      detail: neutralise(error.message),
    }
  return requestProblem(error)
}

const named = (code: string, status: number, title: string, mend: string): Problem => ({
  type: `urn:witnessmark:problem:${code}`,
  title: neutralise(title),
  status,
  mend: neutralise(mend),
})

/** What the server itself refuses: a body that is no JSON, too large, of the wrong shape. */
function requestProblem(error: unknown): Problem {
  const { statusCode, validation, message } = error as { statusCode?: number; validation?: unknown; message?: string }
  const status = typeof statusCode === 'number' && statusCode >= 400 && statusCode < 500 ? statusCode : 500
  if (status === 500)
    return { type: 'about:blank', title: 'A fault of the desk', status, mend: 'Report it, with what was being done.' }
  const detail = typeof message === 'string' ? { detail: neutralise(message) } : {}
  const title = validation === undefined ? 'The request cannot be used' : 'The request has the wrong shape'
  return { type: 'about:blank', title, status, ...detail, mend: 'See /api/openapi.json for what is asked for.' }
}

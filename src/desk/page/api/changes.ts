/** What people do at the desk: each change asks for what it changed anew. */
import { useMutation, useQueryClient } from '@tanstack/react-query'
import type {
  CaseChange,
  Elsewhere,
  MadeSeal,
  NewCheck,
  NewDecision,
  NewHold,
  NewNote,
  NewSeal,
  Reasons,
  SignedOut,
} from '../../contract.ts'
import { goTo } from './arrival.ts'
import { keys, packetPath } from './queries.ts'
import { ask, askJson, onceHeaders } from './request.ts'

function usePacketChange<Wanted>(accession: string, change: (wanted: Wanted) => Promise<Response>) {
  const client = useQueryClient()
  return useMutation({
    mutationFn: change,
    onSuccess: () =>
      Promise.all([
        client.invalidateQueries({ queryKey: keys.packet(accession) }),
        client.invalidateQueries({ queryKey: keys.queue }),
      ]),
  })
}

export const useCaseChange = (accession: string) =>
  usePacketChange(accession, (body: CaseChange) => ask(packetPath(accession), { method: 'PATCH', body }))

export const useNewNote = (accession: string) =>
  usePacketChange(accession, (body: NewNote) => ask(`${packetPath(accession)}/notes`, { method: 'POST', body }))

export const useNewDecision = (accession: string) =>
  usePacketChange(accession, (body: NewDecision) => ask(`${packetPath(accession)}/decisions`, { method: 'POST', body }))

export const useNewCheck = (accession: string) =>
  usePacketChange(accession, (body: NewCheck) => ask(`${packetPath(accession)}/checks`, { method: 'POST', body }))

export const useNewHold = (accession: string) =>
  usePacketChange(accession, (body: NewHold) => ask('/api/holds', { method: 'POST', body }))

export const useLiftHold = (accession: string) =>
  usePacketChange(accession, ({ hold, ...body }: Reasons & { hold: string }) =>
    ask(`/api/holds/${encodeURIComponent(hold)}`, { method: 'DELETE', body }),
  )

/** Gives what became of it. */
export function useSeal(accession: string) {
  const client = useQueryClient()
  return useMutation({
    mutationFn: (body: NewSeal) =>
      askJson<MadeSeal>(`${packetPath(accession)}/seals`, {
        method: 'POST',
        body,
        headers: onceHeaders(crypto.randomUUID()),
      }),
    onSuccess: () => client.invalidateQueries({ queryKey: keys.packet(accession) }),
  })
}

export function useSignIn() {
  const client = useQueryClient()
  return useMutation({
    mutationFn: (body: { name: string; password: string }) => ask('/api/session', { method: 'POST', body }),
    onSuccess: () => client.resetQueries(),
  })
}

/** Leaves for the provider, where it answers. */
export const useSignInElsewhere = () =>
  useMutation({
    mutationFn: () => askJson<Elsewhere>('/api/session/openid', { method: 'POST' }),
    onSuccess: ({ address }) => goTo(address),
  })

export function useSignOut() {
  const client = useQueryClient()
  return useMutation({
    mutationFn: () => askJson<SignedOut>('/api/session', { method: 'DELETE' }),
    // Nothing that one person saw is left for the next.
    onSettled(answer) {
      client.clear()
      window.location.assign(answer?.address ?? '/')
    },
  })
}

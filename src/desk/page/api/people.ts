/** Accounts and the tokens of programs, for whoever administers the desk. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query'
import type { NewToken, PersonChange, PersonView, TokenView } from '../../contract.ts'
import { ask, askJson } from './request.ts'

const people = ['people']
const tokens = ['tokens']

export const usePeople = () =>
  useQuery({ queryKey: people, queryFn: ({ signal }) => askJson<PersonView[]>('/api/people', { signal }) })

export const useTokens = () =>
  useQuery({ queryKey: tokens, queryFn: ({ signal }) => askJson<TokenView[]>('/api/tokens', { signal }) })

/** Asks for both anew: who has no account any more has no token either. */
function useChange<Wanted, Answer>(change: (wanted: Wanted) => Promise<Answer>) {
  const client = useQueryClient()
  return useMutation({
    mutationFn: change,
    onSuccess: () =>
      Promise.all([people, tokens].map((queryKey) => client.invalidateQueries({ queryKey }))).then(() => undefined),
  })
}

/** Adds somebody, or changes what is given. */
export const usePutPerson = () =>
  useChange(({ name, ...body }: PersonChange & { name: string }) =>
    ask(`/api/people/${encodeURIComponent(name)}`, { method: 'PUT', body }),
  )

/** Answers with the secret, this once. */
export const useMakeToken = () =>
  useChange((body: NewToken) => askJson<TokenView & { secret: string }>('/api/tokens', { method: 'POST', body }))

export const useDropToken = () =>
  useChange((token: string) => ask(`/api/tokens/${encodeURIComponent(token)}`, { method: 'DELETE' }))

/** What the page knows of the desk: each answer by its key, asked for again when events say that it changed. */
import { keepPreviousData, useInfiniteQuery, useQuery } from '@tanstack/react-query'
import type {
  AuditView,
  ComparisonView,
  JobView,
  PacketView,
  QueuePage,
  QueueQuery,
  SealsView,
  SessionView,
  SignInWays,
  TrackView,
  WordsView,
} from '../../contract.ts'
import { orderOf, writeQueueAddress } from '../logic/queue-address.ts'
import { ask, askJson, setToken } from './request.ts'

export const keys = {
  session: ['session'],
  queue: ['queue'],
  packet: (accession: string) => ['packet', accession],
  jobs: ['jobs'],
} as const

/** Of a packet below /api. */
export const packetPath = (accession: string): string => `/api/packets/${encodeURIComponent(accession)}`

/** A file's bytes, or what is made of it. */
export const filePath = (accession: string, number: number, part = ''): string =>
  `${packetPath(accession)}/files/${number}${part}`

export const useSession = () =>
  useQuery({
    queryKey: keys.session,
    async queryFn({ signal }) {
      const session = await askJson<SessionView>('/api/session', { signal })
      setToken(session.token)
      return session
    },
    staleTime: Number.POSITIVE_INFINITY,
  })

/** Where it cannot be had, by name and password alone. */
export const useSignInWays = () =>
  useQuery({
    queryKey: ['sign-in'],
    queryFn: ({ signal }) => askJson<SignInWays>('/api/sign-in', { signal }),
    staleTime: Number.POSITIVE_INFINITY,
  })

export const useQueue = (query: QueueQuery) =>
  useInfiniteQuery({
    queryKey: [...keys.queue, query],
    queryFn: ({ pageParam, signal }) => {
      const after = pageParam === null ? {} : { after: pageParam }
      return askJson<QueuePage>(`/api/packets${writeQueueAddress({ ...query, ...orderOf(query), ...after })}`, {
        signal,
      })
    },
    initialPageParam: null as string | null,
    getNextPageParam: ({ next }) => next,
    placeholderData: keepPreviousData,
  })

export const usePacket = (accession: string) =>
  useQuery({
    queryKey: keys.packet(accession),
    queryFn: ({ signal }) => askJson<PacketView>(packetPath(accession), { signal }),
  })

/** Jobs that events told of, newest last. Nothing is asked for: `useDeskEvents` fills it. */
export const useJobs = () =>
  useQuery<JobView[]>({ queryKey: keys.jobs, queryFn: () => [], staleTime: Number.POSITIVE_INFINITY, initialData: [] })

/** What its seals are worth; examined anew when there is another one, `last` being the entry of the last. */
export const useSeals = (accession: string, last: number | null) =>
  useQuery({
    queryKey: ['seals', accession, last],
    queryFn: ({ signal }) => askJson<SealsView>(`${packetPath(accession)}/seals`, { signal }),
    staleTime: 60_000,
  })

/** Files never change: what was read of one is kept as long as it is shown. */
const lasting = { staleTime: Number.POSITIVE_INFINITY, gcTime: 120_000 }

export const useFileBytes = (accession: string, number: number) =>
  useQuery({
    queryKey: ['bytes', accession, number],
    queryFn: async ({ signal }) => (await ask(filePath(accession, number), { signal })).arrayBuffer(),
    ...lasting,
  })

export const useFileWords = (accession: string, number: number) =>
  useQuery({
    queryKey: ['words', accession, number],
    queryFn: ({ signal }) => askJson<WordsView>(filePath(accession, number, '/words'), { signal }),
    ...lasting,
  })

export interface PagePicture {
  picture: Blob
  /** What of the page it shows, in the units of places. */
  region: readonly [number, number, number, number]
}

export const useFilePicture = (accession: string, number: number, page: number) =>
  useQuery({
    queryKey: ['picture', accession, number, page],
    async queryFn({ signal }): Promise<PagePicture> {
      const response = await ask(filePath(accession, number, `/pages/${page}`), { signal })
      const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = (response.headers.get('picture-region') ?? '')
        .split(/[\s,]+/)
        .map(Number)
      return { picture: await response.blob(), region: [x0, y0, x1, y1] }
    },
    ...lasting,
  })

export const useTrack = (accession: string, number: number) =>
  useQuery({
    queryKey: ['track', accession, number],
    queryFn: ({ signal }) => askJson<TrackView>(filePath(accession, number, '/track'), { signal }),
    ...lasting,
  })

export const useComparison = (before: string, after: string) =>
  useQuery({
    queryKey: ['comparison', before, after],
    queryFn: ({ signal }) =>
      askJson<ComparisonView>(`/api/comparison?${new URLSearchParams({ before, after })}`, { signal }),
    enabled: before !== '' && after !== '',
  })

export const useAudit = (by: string) =>
  useQuery({
    queryKey: ['audit', by],
    queryFn: ({ signal }) => askJson<AuditView>(`/api/audit?${new URLSearchParams({ by })}`, { signal }),
    placeholderData: keepPreviousData,
  })

import { QueryCache, QueryClient, QueryClientProvider } from '@tanstack/react-query'
import { StrictMode } from 'react'
import { createRoot } from 'react-dom/client'
import { takeArrival } from './api/arrival.ts'
import { keys } from './api/queries.ts'
import { problemOf } from './api/request.ts'
import { App } from './app.tsx'
import { FaultBoundary } from './parts/fault-boundary.tsx'
import './styles/base.css'
import './styles/parts.css'
import './styles/queue.css'
import './styles/packet.css'
import './styles/evidence.css'
import './styles/figures.css'
import './styles/records.css'
import './styles/print.css'

const client: QueryClient = new QueryClient({
  queryCache: new QueryCache({
    onError(error, { queryKey }) {
      // A session that is over is found out by whatever is asked first.
      const isOver = problemOf(error).status === 401 && queryKey[0] !== keys.session[0]
      if (isOver) void client.invalidateQueries({ queryKey: keys.session })
    },
  }),
  defaultOptions: {
    // What failed is tried again by hand; what changed is told by events.
    queries: { retry: false, networkMode: 'always', refetchOnWindowFocus: false, staleTime: 60_000 },
    mutations: { retry: false, networkMode: 'always' },
  },
})

// Before anything asks for the address.
const arrival = takeArrival()

const place = document.getElementById('desk')
if (place !== null)
  createRoot(place).render(
    <StrictMode>
      <FaultBoundary>
        <QueryClientProvider client={client}>
          <App arrival={arrival} />
        </QueryClientProvider>
      </FaultBoundary>
    </StrictMode>,
  )

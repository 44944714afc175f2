/** The API as OpenAPI 3.1 states it, made from the routes and schemas that the server itself goes by. */
import schema from '../../../schemas/desk.schema.json' with { type: 'json' }
import { problemMedia } from './problem.ts'
import type { OpenRoute, Route } from './route.ts'

const rewritten = (value: unknown): unknown =>
  JSON.parse(JSON.stringify(value).replaceAll('"#/$defs/', '"#/components/schemas/'))

const referTo = (name: string) => ({ $ref: `#/components/schemas/${name}` })

/**
 * The document, for GET /api/openapi.json. OpenAPI 3.1.1, whose schemas are JSON Schema 2020-12. `open`: for those who are
 * not signed in.
 */
export function describeApi(routes: readonly Route[], version: string, open: readonly OpenRoute[] = []): unknown {
  const paths: Record<string, Record<string, unknown>> = {}
  const add = (route: Pick<Route, 'path' | 'method'>, described: object) => {
    const path = route.path.replace(/:(\w+)/g, '{$1}')
    paths[path] = { ...paths[path], [route.method.toLowerCase()]: described }
  }
  for (const route of routes) add(route, describeRoute(route, route.method === 'POST' ? [idempotency] : []))
  for (const route of open) if (!route.visited) add(route, { ...describeRoute(route, []), security: [] })
  return {
    openapi: '3.1.1',
    info: {
      title: 'witnessmark desk',
      version,
      description: 'Reviews of driver-assistance sensor calibration records. A finding is not an accusation.',
    },
    paths,
    components: {
      schemas: rewritten(schema.$defs),
      securitySchemes: {
        session: { type: 'apiKey', in: 'cookie', name: 'desk' },
        token: { type: 'http', scheme: 'bearer' },
      },
    },
    security: [{ session: [] }, { token: [] }],
  }
}

function describeRoute(
  { path, method, summary, query, body, answer }: Omit<Route, 'right' | 'handle'>,
  inHeader: readonly object[],
) {
  const inPath = [...path.matchAll(/:(\w+)/g)].map(([, name]) => ({
    name,
    in: 'path',
    required: true,
    schema: { type: 'string' },
  }))
  const inQuery = query === undefined ? [] : describeQuery(query)
  const { schema: name, media = 'application/json', text, status } = answer
  const content = name === undefined && answer.media === undefined ? {} : { content: { [media]: contentOf(name) } }
  return {
    summary,
    operationId: `${method.toLowerCase()}${path.replace(/^\/api/, '').replace(/\W+(\w?)/g, (_, letter: string) => letter.toUpperCase())}`,
    parameters: [...inPath, ...inQuery, ...inHeader],
    ...(body === undefined ? {} : { requestBody: { required: true, content: bodyOf(body) } }),
    responses: {
      [status]: { description: text, ...content },
      default: {
        description: 'What went wrong, and how to put it right.',
        content: { [problemMedia]: { schema: referTo('Problem') } },
      },
    },
  }
}

const contentOf = (name: string | undefined) => (name === undefined ? {} : { schema: referTo(name) })

const bodyOf = (body: string) =>
  body === 'bytes' ? { 'application/octet-stream': {} } : { 'application/json': { schema: referTo(body) } }

const idempotency = {
  name: 'idempotency-key',
  in: 'header',
  required: false,
  description: 'The same key again within a day gives the same answer, and nothing is done twice.',
  schema: { type: 'string', minLength: 8, maxLength: 200 },
}

function describeQuery(name: string) {
  const { properties, required } = (
    schema.$defs as unknown as Record<string, { properties: Record<string, unknown>; required: string[] }>
  )[name] ?? { properties: {}, required: [] }
  return Object.entries(properties).map(([key, value]) => ({
    name: key,
    in: 'query',
    required: required.includes(key),
    schema: rewritten(value),
  }))
}

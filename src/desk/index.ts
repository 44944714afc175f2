/** The desk: packets of an archive, looked at and worked on in a browser; `src/io/` and `cli/` bring the world outside. */
export { type Role, roleNames } from './contract.ts'
export { leastPassword, listPeople, putPerson } from './server/accounts.ts'
export { type AppOptions, buildApp } from './server/app.ts'
export { follow } from './server/cases.ts'
export {
  closeDesk,
  type Desk,
  type DeskOptions,
  type DeskOutside,
  type DeskSealing,
  openDesk,
  type Vouching,
} from './server/desk.ts'
export { type HandedOver, type Jobs, resumeChecks, startJobs } from './server/jobs.ts'
export { openProvider, type Provider } from './server/openid/provider.ts'
export { type OpenIdSettings, parseOpenId } from './server/openid/settings.ts'
export type { PageFiles } from './server/page-files.ts'
export { everyRole, type Person } from './server/people.ts'
export { openAccounts, peopleRoutes, type SignInElsewhere } from './server/people-routes.ts'
export { ProblemError } from './server/problem.ts'
export type { OpenRoute } from './server/route.ts'
export { listRoutes } from './server/routes.ts'
export { beginSession, isSame, makeSecret } from './server/sessions.ts'
export { defaultUploadLimits, openUploads, type UploadLimits } from './server/uploads.ts'

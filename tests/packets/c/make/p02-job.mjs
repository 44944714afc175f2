// What every paper of p02 shares.
import { fillVin } from './tools.mjs'

export const vin = fillVin('2J9TY5C8*PH110362')
export const car = { year: 2023, make: 'Yarrowby', model: 'Tern' }
export const common = {
  vin,
  vehicle: car,
  plate: 'HKD 481',
  jobNumber: 'W-30977',
  claimNumber: 'NP 5521-903',
  technician: 'Ilse Maronne',
}
export const shop = 'Gannet Point Auto Glass'
export const zone = '-03:00'
export const km = (n) => String(n).replace(/\B(?=(\d{3})+$)/g, ' ')

/**
 * m/s², standard acceleration of free fall. Source: ISO 80000-3:2019; exact by definition (3rd CGPM, 1901).
 */
export const STANDARD_GRAVITY = 9.80665;

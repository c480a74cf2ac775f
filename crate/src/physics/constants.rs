//! Constants of nature and of the melt that more than one room needs, each once.
//!
//! Takes nothing; gives SI numbers with their source and, where they are judged, their spread.

/// Standard acceleration of gravity, m/s² (CGPM 1901).
pub const GRAVITY: f64 = 9.806_65;
/// Zero of the Celsius scale, K.
pub const ZERO_CELSIUS_K: f64 = 273.15;
/// Density of water, kg/m³, as everyone at a scale takes it. At 20 °C it is 998.2: specific gravity is a ratio, so this matters to nothing here by more than 0.2 %.
pub const RHO_WATER: f64 = 1000.0;
/// Density of the bubble-free melt, kg/m³ (judged).
pub const RHO_MELT: f64 = 2350.0;
/// Share of bubbles in the volume of the melt and of the fired glaze (judged).
pub const BUBBLES: f64 = 0.05;
/// Density of the bubbly melt, kg/m³: the one in every formula of flow.
pub const RHO: f64 = RHO_MELT * (1.0 - BUBBLES);
/// Density of the bubble-free fired glaze, kg/m³ (judged).
pub const RHO_FIRED: f64 = 2450.0;
/// Surface tension of the melt, N/m (judged; 0.27–0.40).
pub const GAMMA: f64 = 0.33;
/// Contact angle of the melt on its clay, rad: 25° (judged).
pub const CONTACT_RAD: f64 = 25.0 * std::f64::consts::PI / 180.0;

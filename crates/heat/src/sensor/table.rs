//! Coefficients of the ITS-90 reference functions, in mV and °C against a cold junction at 0 °C.
//!
//! Source: NIST Standard Reference Database 60, which reproduces NIST Monograph 175 (Burns, Scroger,
//! Strouse, Croarkin, Guthrie, 1993); a work of the United States government, free of copyright.

/// One stretch of a reference function.
pub(super) struct Piece {
    /// Where it ends, °C; it starts where the one before ends.
    pub(super) to_c: f64,
    /// Coefficients of the powers of the temperature, from the power 0.
    pub(super) powers: &'static [f64],
    /// `[a0, a1, a2]` of a term a0 exp(a1 (t − a2)²), which only type K has.
    pub(super) bell: Option<[f64; 3]>,
}

/// A reference function, coolest stretch first.
pub(super) struct Function {
    /// Where it starts, °C.
    pub(super) from_c: f64,
    /// Its stretches.
    pub(super) pieces: &'static [Piece],
}

/// Type K.
pub(super) const K: Function = Function {
    from_c: -270.0,
    pieces: &[
        Piece {
            to_c: 0.0,
            powers: &[
                0.0,
                0.039450128025,
                2.3622373598e-5,
                -3.2858906784e-7,
                -4.9904828777e-9,
                -6.7509059173e-11,
                -5.7410327428e-13,
                -3.1088872894e-15,
                -1.0451609365e-17,
                -1.9889266878e-20,
                -1.6322697486e-23,
            ],
            bell: None,
        },
        Piece {
            to_c: 1372.0,
            powers: &[
                -0.017600413686,
                0.038921204975,
                1.8558770032e-5,
                -9.9457592874e-8,
                3.1840945719e-10,
                -5.6072844889e-13,
                5.6075059059e-16,
                -3.2020720003e-19,
                9.7151147152e-23,
                -1.2104721275e-26,
            ],
            bell: Some([0.1185976, -0.0001183432, 126.9686]),
        },
    ],
};

/// Type N.
pub(super) const N: Function = Function {
    from_c: -270.0,
    pieces: &[
        Piece {
            to_c: 0.0,
            powers: &[
                0.0,
                0.026159105962,
                1.0957484228e-5,
                -9.3841111554e-8,
                -4.6412039759e-11,
                -2.6303357716e-12,
                -2.2653438003e-14,
                -7.6089300791e-17,
                -9.3419667835e-20,
            ],
            bell: None,
        },
        Piece {
            to_c: 1300.0,
            powers: &[
                0.0,
                0.025929394601,
                1.571014188e-5,
                4.3825627237e-8,
                -2.5261169794e-10,
                6.4311819339e-13,
                -1.0063471519e-15,
                9.9745338992e-19,
                -6.0863245607e-22,
                2.0849229339e-25,
                -3.0682196151e-29,
            ],
            bell: None,
        },
    ],
};

/// Type S.
pub(super) const S: Function = Function {
    from_c: -50.0,
    pieces: &[
        Piece {
            to_c: 1064.18,
            powers: &[
                0.0,
                0.00540313308631,
                1.2593428974e-5,
                -2.32477968689e-8,
                3.22028823036e-11,
                -3.31465196389e-14,
                2.55744251786e-17,
                -1.25068871393e-20,
                2.71443176145e-24,
            ],
            bell: None,
        },
        Piece {
            to_c: 1664.5,
            powers: &[
                1.32900444085,
                0.00334509311344,
                6.54805192818e-6,
                -1.64856259209e-9,
                1.29989605174e-14,
            ],
            bell: None,
        },
        Piece {
            to_c: 1768.1,
            powers: &[
                146.628232636,
                -0.258430516752,
                0.000163693574641,
                -3.30439046987e-8,
                -9.43223690612e-15,
            ],
            bell: None,
        },
    ],
};

/// Type R.
pub(super) const R: Function = Function {
    from_c: -50.0,
    pieces: &[
        Piece {
            to_c: 1064.18,
            powers: &[
                0.0,
                0.00528961729765,
                1.39166589782e-5,
                -2.38855693017e-8,
                3.56916001063e-11,
                -4.62347666298e-14,
                5.00777441034e-17,
                -3.73105886191e-20,
                1.57716482367e-23,
                -2.81038625251e-27,
            ],
            bell: None,
        },
        Piece {
            to_c: 1664.5,
            powers: &[
                2.95157925316,
                -0.00252061251332,
                1.59564501865e-5,
                -7.64085947576e-9,
                2.05305291024e-12,
                -2.93359668173e-16,
            ],
            bell: None,
        },
        Piece {
            to_c: 1768.1,
            powers: &[
                152.232118209,
                -0.268819888545,
                0.000171280280471,
                -3.45895706453e-8,
                -9.34633971046e-15,
            ],
            bell: None,
        },
    ],
};

/// Type B.
pub(super) const B: Function = Function {
    from_c: 0.0,
    pieces: &[
        Piece {
            to_c: 630.615,
            powers: &[
                0.0,
                -0.00024650818346,
                5.9040421171e-6,
                -1.3257931636e-9,
                1.5668291901e-12,
                -1.694452924e-15,
                6.2990347094e-19,
            ],
            bell: None,
        },
        Piece {
            to_c: 1820.0,
            powers: &[
                -3.8938168621,
                0.02857174747,
                -8.4885104785e-5,
                1.5785280164e-7,
                -1.6835344864e-10,
                1.1109794013e-13,
                -4.4515431033e-17,
                9.8975640821e-21,
                -9.3791330289e-25,
            ],
            bell: None,
        },
    ],
};

/* Where a centre of mass is likely to lie, in the plane of a picture. */
#ifndef POISE_PLOT_ELLIPSE_H
#define POISE_PLOT_ELLIPSE_H

/* Half axes, mm, and the direction of the long one as a unit vector of the picture. */
typedef struct PoiseEllipse {
    double long_mm, short_mm;
    double axis[2];
} PoiseEllipse;

/* The ellipse that holds 95 % of a normal distribution in the plane of x and y (unit vectors in the
 * covariance's axes): half axes √(q λ), λ the eigenvalues of the plane's covariance and q the 95 %
 * quantile of χ² with 2 degrees of freedom, which is −2 ln 0.05 (the distribution function is
 * 1 − e^(−q/2)). */
PoiseEllipse poise_ellipse_95(const double covariance_mm2[3][3], const double x[3],
                              const double y[3]);

#endif

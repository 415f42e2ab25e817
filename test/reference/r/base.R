source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "common.R"))

t_interval <- function(x, confidence) as.numeric(t.test(x, conf.level = confidence)$conf.int)

statistics <- list(
  mean = function(x, y) mean(x),
  median = function(x, y) median(x),
  sd = function(x, y) sd(x),
  cv = function(x, y) sd(x) / mean(x),
  correlation = function(x, y) cor(x, y)
)

# The chance of T above the critical value, as power.t.test counts it: on the right side only.
bound_power <- function(g, n) {
  k <- qt(g$confidence, n - 1, ncp = qnorm(g$content) * sqrt(n))
  pt(k, n - 1, ncp = sqrt(n) * (g$mean - g$target) / g$sd, lower.tail = FALSE)
}
two_power <- function(g, n) power.t.test(n = n, delta = abs(g$difference), sd = g$sd, sig.level = g$alpha)$power
many_power <- function(g, n) {
  means <- numbers(g$means)
  power.anova.test(groups = length(means), n = n, between.var = var(means), within.var = g$sd^2, sig.level = g$alpha)$power
}
least_n <- function(g, power) {
  n <- 2
  while (power(g, n) < g$power) n <- n + 1
  list(n = n, power = power(g, n))
}

# The variance of a shape of half-width 1, by its density.
shape_variance <- function(shape, top) {
  density <- switch(shape,
    rectangular = function(x) rep(0.5, length(x)),
    triangular = function(x) 1 - abs(x),
    trapezoidal = function(x) pmin(1, (1 - abs(x)) / (1 - top)) / (1 + top),
    "u-shaped" = NULL
  )
  # Of sin(phi), phi uniform: the density of the arcsine law has poles.
  if (is.null(density)) return(integrate(function(phi) sin(phi)^2 / pi, -pi / 2, pi / 2, rel.tol = 1e-12)$value)
  edges <- sort(unique(c(-1, 0, 1, if (shape == "trapezoidal") c(-top, top))))
  sum(sapply(seq_len(length(edges) - 1), function(i) integrate(function(x) x^2 * density(x), edges[i], edges[i + 1], rel.tol = 1e-12)$value))
}

run(list(
  summary = function(g) {
    x <- numbers(g$values)
    list(mean = mean(x), sd = sd(x), cv = sd(x) / mean(x), meanInterval = t_interval(x, g$confidence), lag1 = acf(x, lag.max = 1, plot = FALSE)$acf[2])
  },
  "normality-few" = function(g) {
    test <- shapiro.test(numbers(g$values))
    list(w = test$statistic, wP = test$p.value)
  },
  outliers = function(g) {
    x <- numbers(g$values)
    n <- length(x)
    kept <- x
    statistics <- criticals <- numeric()
    for (i in seq_len(g$atMost)) {
      if (sd(kept) == 0) break
      z <- (kept - mean(kept)) / sd(kept)
      away <- switch(g$sides, two = abs(z), high = z, low = -z)
      m <- n - i + 1
      p <- if (g$sides == "two") g$alpha / (2 * m) else g$alpha / m
      t <- qt(p, m - 2, lower.tail = FALSE)
      statistics <- c(statistics, max(away))
      criticals <- c(criticals, (m - 1) / sqrt(m) * sqrt(t^2 / (m - 2 + t^2)))
      kept <- kept[-which.max(away)]
    }
    list(statistics = statistics, criticals = criticals, suspects = max(0, which(statistics > criticals)))
  },
  bootstrap = function(g) {
    x <- numbers(g$values)
    y <- numbers(g$others)
    f <- statistics[[g$statistic]]
    n <- length(x)
    left <- sapply(seq_len(n), function(i) f(x[-i], y[-i]))
    list(estimate = f(x, y), jackknife = sqrt((n - 1) / n * sum((left - mean(left))^2)), bias = (n - 1) * (mean(left) - f(x, y)))
  },
  "claim-mean" = function(g) {
    x <- numbers(g$values)
    margin <- g$margin * abs(g$claimed)
    above <- t.test(x, mu = g$claimed - margin, alternative = "greater")$p.value
    below <- t.test(x, mu = g$claimed + margin, alternative = "less")$p.value
    list(interval = t_interval(x, g$confidence), p = t.test(x, mu = g$claimed)$p.value, equivalenceP = max(above, below))
  },
  "claim-least" = function(g) {
    x <- numbers(g$values)
    n <- length(x)
    t <- sqrt(n) * (mean(x) - g$claimed) / sd(x)
    limit <- function(p) root_of(function(ncp) pt(t, n - 1, ncp) - p, t - 5, t + 5) / sqrt(n)
    list(shareAbove = pnorm(t / sqrt(n)), interval = pnorm(c(limit(0.975), limit(0.025))))
  },
  "linear-model" = function(g) {
    data <- as.data.frame(lapply(g$columns, numbers))
    terms <- paste(c(names(data), if (isFALSE(g$intercept)) "0" else "1"), collapse = " + ")
    data$y <- numbers(g$response)
    model <- lm(as.formula(paste("y ~", terms)), data)
    s <- summary(model)
    # lm puts the intercept first in any case.
    x <- model.matrix(model)
    bread <- solve(crossprod(x))
    meat <- crossprod(x * (residuals(model) / (1 - hatvalues(model))))
    at <- as.data.frame(lapply(g$at, numbers))
    list(
      coefficients = coef(model), standardErrors = s$coefficients[, 2], p = s$coefficients[, 4], residualSd = s$sigma,
      rSquared = s$r.squared, hc3 = sqrt(diag(bread %*% meat %*% bread)),
      prediction = c(
        predict(model, at, interval = "confidence", level = g$confidence)[2:3],
        predict(model, at, interval = "prediction", level = g$confidence)[2:3]
      )
    )
  },
  proportion = function(g) {
    list(
      wilson = as.numeric(prop.test(g$successes, g$n, conf.level = g$confidence, correct = FALSE)$conf.int),
      exact = as.numeric(binom.test(g$successes, g$n, conf.level = g$confidence)$conf.int)
    )
  },
  "exact-table" = function(g) {
    x <- do.call(rbind, groups_of(g$table))
    test <- fisher.test(x, workspace = 2e7)
    if (!all(dim(x) == 2)) return(list(p = test$p.value))
    # The law of the first cell where the odds ratio is exp(t).
    rows <- rowSums(x)
    first <- sum(x[, 1])
    cells <- max(0, first - rows[2]):min(rows[1], first)
    log_law <- dhyper(cells, rows[1], rows[2], first, log = TRUE)
    law <- function(t) {
      w <- log_law + t * cells
      w <- exp(w - max(w))
      w / sum(w)
    }
    lowest <- x[1, 1] == min(cells)
    highest <- x[1, 1] == max(cells)
    solve_for <- function(f) exp(root_of(f, -2, 2))
    list(
      p = test$p.value,
      oneSided = c(fisher.test(x, alternative = "greater")$p.value, fisher.test(x, alternative = "less")$p.value),
      odds = if (lowest) 0 else if (!highest) solve_for(function(t) sum(law(t) * cells) - x[1, 1]),
      oddsEnds = c(
        if (lowest) 0 else solve_for(function(t) sum(law(t)[cells >= x[1, 1]]) - 0.025),
        if (highest) -1 else solve_for(function(t) sum(law(t)[cells <= x[1, 1]]) - 0.025)
      )
    )
  },
  "power-two" = function(g) list(power = two_power(g, g$n)),
  "power-many" = function(g) list(power = many_power(g, g$n)),
  "power-bound" = function(g) list(power = bound_power(g, g$n)),
  "size-two" = function(g) least_n(g, two_power),
  "size-many" = function(g) least_n(g, many_power),
  "size-bound" = function(g) least_n(g, bound_power),
  "uncertainty-budget" = function(g) {
    divisor <- c(normal = 1, t = 1, rectangular = sqrt(3), triangular = sqrt(6), "u-shaped" = sqrt(2))
    u <- sapply(g$parts, function(p) abs(p$sensitivity) * p$value / divisor[[p$distribution]])
    df <- sapply(g$parts, function(p) if (is.null(p$degreesOfFreedom)) Inf else p$degreesOfFreedom)
    combined <- sqrt(sum(u^2))
    effective <- combined^4 / sum(u^4 / df)
    k <- qt(0.5 + g$probability / 2, max(1, floor(effective + 1e-9)))
    list(combined = combined, degreesOfFreedom = if (is.finite(effective)) effective, factor = c(k, k * combined))
  },
  "standard-uncertainty" = function(g) {
    list(u = switch(g$form,
      readings = sd(numbers(g$values)) / sqrt(length(g$values)),
      interval = g$halfWidth / qt(0.5 + g$probability / 2, g$degreesOfFreedom),
      limits = g$halfWidth * sqrt(shape_variance(g$distribution, g$top))
    ))
  },
  "coverage-factor" = function(g) {
    p <- g$probability
    if (!is.null(g$degreesOfFreedom)) return(list(k = qt(0.5 + p / 2, g$degreesOfFreedom)))
    if (is.null(g$shape)) return(list(k = qnorm(0.5 + p / 2)))
    # The share within ± a of limits at ± 1; the factor is a over the shape's standard deviation.
    within <- switch(g$shape,
      rectangular = function(a) a,
      triangular = function(a) 1 - (1 - a)^2,
      "u-shaped" = function(a) 2 * asin(a) / pi
    )
    list(k = uniroot(function(a) within(a) - p, c(0, 1), tol = 1e-14)$root / sqrt(shape_variance(g$shape, 0)))
  }
))

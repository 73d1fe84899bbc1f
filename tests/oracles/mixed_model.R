# Makes mixed_model.json, the numbers that tests/numerics/test_mixed_model.py compares with.
# Run by hand: Rscript mixed_model.R > mixed_model.json. The versions used are in the file.
# A search that ends closer than the usual one, since deviations are compared to 1e-4.
suppressMessages({library(lme4); library(jsonlite)})
control <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-9, maxfun = 10000))

one_factor <- function(effects, every) {
  chosen <- seq(1, nrow(effects), by = every)
  means <- effects[[1]]
  deviations <- sqrt(attr(effects, "postVar")[1, 1, ])
  list(size = length(means), every = every, levels = rownames(effects)[chosen],
       means = means[chosen], deviations = deviations[chosen],
       sum_of_squared_means = sum(means^2), sum_of_squared_deviations = sum(deviations^2))
}

said <- function(formula, data, every = 1) {
  fit <- lmer(formula, data, REML = TRUE, control = control)
  effects <- ranef(fit, condVar = TRUE)
  factors <- lapply(names(effects), function(name) {
    c(list(deviation = unname(attr(VarCorr(fit)[[name]], "stddev"))),
      one_factor(effects[[name]], every))
  })
  list(model = deparse(formula), rows = nrow(data), sum = sum(model.response(model.frame(fit))),
       criterion = unname(REMLcrit(fit)), fixed = unname(fixef(fit)),
       fixed_covariance = unname(as.matrix(vcov(fit))), residual = sigma(fit),
       factors = setNames(factors, names(effects)))
}

first <- function(most) droplevels(InstEval[as.integer(as.character(InstEval$s)) <= most, ])

cat(toJSON(digits = NA, auto_unbox = TRUE, pretty = TRUE, list(
  versions = list(R = paste(R.version$major, R.version$minor, sep = "."),
                  lme4 = as.character(packageVersion("lme4")),
                  Matrix = as.character(packageVersion("Matrix"))),
  penicillin = said(diameter ~ 1 + (1 | plate) + (1 | sample), Penicillin),
  pastes = said(strength ~ 1 + (1 | batch) + (1 | batch:cask), Pastes),
  insteval_2000 = said(y ~ 1 + (1 | s) + (1 | d), first(2000), every = 50),
  insteval_300_three = said(y ~ 1 + (1 | s) + (1 | d) + (1 | dept), first(300), every = 50),
  dyestuff2 = said(Yield ~ 1 + (1 | Batch), Dyestuff2),
  sleepstudy = said(Reaction ~ 1 + Days + (1 | Subject), sleepstudy)
)), "\n")
